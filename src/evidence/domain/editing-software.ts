/**
 * Programs that change pictures, by how they name themselves in Software, CreatorTool or the editing history. Names as those programs
 * write them (from memory and from metadata seen in public photo sets). A camera's firmware ('14.4', 'G975FXXU1ASBA') is none of them.
 */
const EDITORS: readonly (readonly [name: string, pattern: RegExp])[] = [
  ['Photoshop', /\bphotoshop\b/i],
  ['Lightroom', /\blightroom\b/i],
  ['Camera Raw', /\bcamera raw\b/i],
  ['Adobe Bridge', /\badobe bridge\b/i],
  ['GIMP', /\bgimp\b/i],
  ['Snapseed', /\bsnapseed\b/i],
  ['Paint.NET', /\bpaint\.net\b/i],
  ['Microsoft Paint', /\b(microsoft|ms|windows) ?paint\b|\bmspaint\b/i],
  ['Windows photo editor', /\bwindows photo (editor|gallery|viewer)\b|\bmicrosoft windows photo\b/i],
  ['PaintShop', /\bpaint ?shop\b/i],
  ['Affinity', /\baffinity (photo|designer|publisher)\b/i],
  ['Pixelmator', /\bpixelmator\b/i],
  ['Acorn', /\bacorn version\b|^acorn\b/i],
  ['Krita', /\bkrita\b/i],
  ['darktable', /\bdarktable\b/i],
  ['RawTherapee', /\brawtherapee\b/i],
  ['Capture One', /\bcapture one\b/i],
  ['Luminar', /\bluminar\b/i],
  ['ACDSee', /\bacdsee\b|\bacd systems\b/i],
  ['DxO', /\bdxo\b/i],
  ['PhotoScape', /\bphotoscape\b/i],
  ['PhotoFiltre', /\bphotofiltre\b/i],
  ['IrfanView', /\birfanview\b/i],
  ['XnView', /\bxnview\b/i],
  ['Picasa', /\bpicasa\b/i],
  ['digiKam', /\bdigikam\b/i],
  ['ImageMagick', /\bimagemagick\b|\bgraphicsmagick\b/i],
  ['Canva', /\bcanva\b/i],
  ['PicsArt', /\bpicsart\b/i],
  ['Polarr', /\bpolarr\b/i],
  ['VSCO', /\bvsco\b/i],
  ['Fotor', /\bfotor\b/i],
  ['Facetune', /\bfacetune\b/i],
  ['Meitu', /\bmeitu\b|\bbeautyplus\b/i],
  ['Photopea', /\bphotopea\b/i],
  ['Pixlr', /\bpixlr\b/i],
  ['Inkscape', /\binkscape\b/i],
  ['CorelDRAW', /\bcorel(draw)?\b/i],
];

/** The first editing program that one of these strings names, and the string; undefined when none does. */
export function editingSoftware(
  strings: readonly (string | undefined)[],
): { readonly name: string; readonly recorded: string } | undefined {
  for (const recorded of strings) {
    const known = recorded === undefined ? undefined : EDITORS.find(([, pattern]) => pattern.test(recorded));
    if (known && recorded !== undefined) return { name: known[0], recorded };
  }
  return undefined;
}
