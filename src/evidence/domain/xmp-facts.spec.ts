import { describe, expect, it } from 'vitest';
import { xmpFacts } from './xmp-facts.js';

const packet = (inside: string) =>
  `<?xpacket begin="" id="W5M0MpCehiHzreSzNTczkc9d"?><x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">${inside}</rdf:RDF></x:xmpmeta>`;

// Property names and date form: ISO 16684-1 (XMP part 1) section 8 and the Exif and Photoshop schemas of XMP part 2.
describe('an XMP packet', () => {
  it('is read from attributes', () => {
    const text = packet(
      `<rdf:Description xmp:CreatorTool="Halde &amp; Sons 3" xmp:ModifyDate='2026-03-02T10:00:00+01:00' exif:DateTimeOriginal="2026-03-01T09:00:00"/>`,
    );
    expect(xmpFacts(text)).toEqual({
      creatorTool: 'Halde & Sons 3',
      modified: '2026-03-02T10:00:00+01:00',
      created: '2026-03-01T09:00:00',
      agents: [],
    });
  });

  it('is read from elements, with the programs of the history, each once', () => {
    const step = (agent: string) => `<rdf:li><stEvt:softwareAgent>${agent}</stEvt:softwareAgent></rdf:li>`;
    const text = packet(
      `<rdf:Description><xmp:CreatorTool>GIMP 2.10</xmp:CreatorTool><xmp:CreateDate>2026-03-01T09:00:00Z</xmp:CreateDate>
       <xmpMM:History><rdf:Seq>${step('Snapseed')}${step('Snapseed')}${step('GIMP 2.10')}</rdf:Seq></xmpMM:History></rdf:Description>`,
    );
    expect(xmpFacts(text)).toEqual({
      creatorTool: 'GIMP 2.10',
      created: '2026-03-01T09:00:00Z',
      agents: ['Snapseed', 'GIMP 2.10'],
    });
  });

  it('prefers the time of the original to that of the file', () => {
    const text = packet(
      '<rdf:Description xmp:CreateDate="2026-01-01T00:00:00" photoshop:DateCreated="2025-01-01T00:00:00"/>',
    );
    expect(xmpFacts(text).created).toBe('2025-01-01T00:00:00');
  });

  it.each([
    ['nothing', ''],
    ['no XML', 'xmp:CreatorTool xmp:CreatorTool="unended'],
    ['an element that never ends', '<xmp:CreatorTool>abc'],
    [
      'an entity of its own',
      '<!DOCTYPE x [<!ENTITY e SYSTEM "file:///etc/passwd">]><xmp:CreatorTool></xmp:CreatorTool>',
    ],
  ])('of %s says nothing', (_what, text) => {
    expect(xmpFacts(text)).toEqual({ agents: [] });
  });

  it('leaves entities that XML does not define as they are', () => {
    expect(xmpFacts('<a xmp:CreatorTool="&e; &lt;x&gt;"/>').creatorTool).toBe('&e; <x>');
  });

  it('of two million characters of nonsense is bounded', () => {
    expect(xmpFacts('stEvt:softwareAgent="a" '.repeat(80_000)).agents).toEqual(['a']);
  });
});
