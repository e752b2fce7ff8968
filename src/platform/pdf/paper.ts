import { openPdf, type PageOptions, type PaperFact, type ShownPhoto } from './tagged-pdf.js';

const MARGIN = 56;
const INK = '#1b2230';
const SOFT = '#566072';
const RULE = '#c9cfd8';
const TINT = '#f1f4f8';

interface TableLook {
  /** Parts of the width that sum to 1. */
  readonly widths: readonly number[];
  /** Columns set flush right: figures. */
  readonly right?: readonly number[];
  readonly boldLast?: boolean;
}

const GUTTER = 18;
/** Three rows of photos with their captions fit on a page. */
const TALLEST_PHOTO = 156;

function scaleOf(picture: { readonly width: number; readonly height: number }, wide: number): number {
  return Math.min(wide / picture.width, TALLEST_PHOTO / picture.height);
}

function captionOf({ says, picture }: ShownPhoto): string {
  return picture.ok ? says : `${says} Not shown: ${picture.because}.`;
}

/** The pages of a letter or a packet. Every method adds one tagged block below the last and starts a new page where it must. */
export class Paper {
  private readonly doc: PDFKit.PDFDocument;
  private readonly root: PDFKit.PDFStructureElement;
  private readonly width: number;
  private readonly done: Promise<Buffer>;

  constructor(private readonly options: PageOptions) {
    const doc = openPdf(options, MARGIN);
    this.doc = doc;
    this.width = doc.page.width - 2 * MARGIN;
    this.root = doc.struct('Document');
    doc.addStructure(this.root);
    this.done = new Promise((resolve, reject) => {
      const chunks: Buffer[] = [];
      doc.on('data', (chunk: Buffer) => void chunks.push(chunk));
      doc.on('end', () => resolve(Buffer.concat(chunks)));
      doc.on('error', reject);
    });
  }

  title(text: string): void {
    this.block('H1', () =>
      this.doc.font('bold').fontSize(22).fillColor(INK).text(text, MARGIN, this.doc.y, { width: this.width }),
    );
    this.doc.moveDown(0.6);
  }

  heading(text: string): void {
    this.room(76);
    this.doc.y += 14;
    this.block('H2', () =>
      this.doc.font('bold').fontSize(12.5).fillColor(INK).text(text, MARGIN, this.doc.y, { width: this.width }),
    );
    this.doc.y += 5;
  }

  /** @param lang of the paragraph, where it is not the document's @param size in points */
  paragraph(text: string, lang?: string, size = 9.5): void {
    this.room(this.height(text, 'plain', size, this.width));
    const draw = () => this.plain(size).text(text, MARGIN, this.doc.y, { width: this.width, lineGap: 2 });
    this.block('P', draw, lang === undefined ? {} : { lang });
    this.doc.y += 4;
  }

  /** A caution in a frame of its own. */
  notice(text: string): void {
    const inner = this.width - 24;
    const tall = this.height(text, 'plain', 9, inner) + 18;
    this.room(tall + 12);
    const top = this.doc.y + 12;
    this.artifact(() => this.doc.rect(MARGIN, top, this.width, tall).fill(TINT).rect(MARGIN, top, 3, tall).fill(INK));
    this.block('P', () => this.plain(9).text(text, MARGIN + 14, top + 9, { width: inner, lineGap: 2 }));
    this.doc.y = top + tall + 6;
  }

  /** The one figure that a reader looks for. */
  figure(label: string, value: string): void {
    const top = this.doc.y + 8;
    this.artifact(() => this.doc.rect(MARGIN, top, this.width, 58).fill(TINT));
    this.block('P', () => {
      this.doc
        .font('plain')
        .fontSize(9)
        .fillColor(SOFT)
        .text(label, MARGIN + 14, top + 10, { width: this.width - 28 });
      this.doc
        .font('bold')
        .fontSize(21)
        .fillColor(INK)
        .text(value, MARGIN + 14, top + 24, { width: this.width - 28 });
    });
    this.doc.y = top + 64;
  }

  /** Labels with values, one to a line. */
  facts(lines: readonly PaperFact[], size = 9.5): void {
    const left = Math.round(this.width * 0.28);
    for (const { label, value } of lines) {
      const tall = Math.max(
        this.height(value, 'plain', size, this.width - left),
        this.height(label, 'plain', size, left - 10),
      );
      this.room(tall + 4);
      const top = this.doc.y;
      this.block('P', () => {
        this.doc
          .font('plain')
          .fontSize(size)
          .fillColor(SOFT)
          .text(label, MARGIN, top, { width: left - 10, lineGap: 2 });
        this.plain(size).text(value, MARGIN + left, top, { width: this.width - left, lineGap: 2 });
      });
      this.doc.y = top + tall + 4;
    }
  }

  /** A table; its head is said again on every page it reaches. */
  table(head: readonly string[], rows: readonly (readonly string[])[], look: TableLook): void {
    const table = this.doc.struct('Table');
    this.root.add(table);
    this.row(table, head, look, 'head');
    rows.forEach((row, index) => {
      const last = look.boldLast === true && index === rows.length - 1;
      if (this.doc.y + this.rowHeight(row, look, last) > this.floor()) {
        this.doc.addPage();
        this.row(table, head, look, 'head again');
      }
      this.row(table, row, look, last ? 'last' : 'body');
    });
    table.end();
    this.doc.y += 8;
  }

  /** Photos, two side by side, each with what it shows and the hash of its original. */
  photos(shown: readonly ShownPhoto[]): void {
    const wide = (this.width - GUTTER) / 2;
    for (let at = 0; at < shown.length; at += 2) {
      const pair = shown.slice(at, at + 2);
      this.room(Math.max(...pair.map((photo) => this.photoHeight(photo, wide))));
      const top = this.doc.y;
      const ends = pair.map((photo, column) => this.photo(photo, { x: MARGIN + column * (wide + GUTTER), top, wide }));
      this.doc.x = MARGIN;
      this.doc.y = Math.max(...ends) + 12;
    }
  }

  private photo(shown: ShownPhoto, place: { readonly x: number; readonly top: number; readonly wide: number }): number {
    const { picture } = shown;
    const { x, top, wide } = place;
    if (picture.ok) {
      const scale = scaleOf(picture, wide);
      const size = { width: picture.width * scale, height: picture.height * scale };
      const element = this.doc.struct('Figure', { alt: shown.says }, () => {
        this.doc.image(picture.jpeg, x, top, size);
      });
      this.root.add(element);
      element.end();
    }
    this.doc.y = top + (picture.ok ? picture.height * scaleOf(picture, wide) : 0) + 5;
    this.block('Caption', () => {
      this.plain(8.5).text(captionOf(shown), x, this.doc.y, { width: wide, lineGap: 1 });
      // 64 digits of DejaVu at this size fit into half of the width, so that a hash can be copied in one piece.
      const hash = `SHA-256 of the original\n${shown.sha256}`;
      this.doc
        .font('plain')
        .fontSize(5.5)
        .fillColor(SOFT)
        .text(hash, x, this.doc.y + 1, { width: wide, lineGap: 0.5 });
    });
    return this.doc.y;
  }

  private photoHeight(shown: ShownPhoto, wide: number): number {
    const picture = shown.picture.ok ? shown.picture.height * scaleOf(shown.picture, wide) : 0;
    return picture + this.height(captionOf(shown), 'plain', 8.5, wide) + 34;
  }

  /** Numbers the pages and closes the file. */
  finish(): Promise<Buffer> {
    this.root.end();
    const { start, count } = this.doc.bufferedPageRange();
    const numbered = this.options.numbered ?? ((n: number, of: number) => `Page ${n} of ${of}`);
    for (let at = start; at < start + count; at += 1) {
      this.doc.switchToPage(at);
      // The foot lies below the bottom margin; without a margin the text starts no page of its own.
      this.doc.page.margins.bottom = 0;
      this.artifact(() => {
        const y = this.doc.page.height - MARGIN + 4;
        this.doc.font('plain').fontSize(7.5).fillColor(SOFT);
        this.doc.text(this.options.foot, MARGIN, y, { width: this.width * 0.7, lineBreak: false });
        this.doc.text(numbered(at + 1, count), MARGIN, y, { width: this.width, align: 'right', lineBreak: false });
      });
    }
    this.doc.end();
    return this.done;
  }

  private row(
    table: PDFKit.PDFStructureElement,
    cells: readonly string[],
    look: TableLook,
    kind: 'head' | 'head again' | 'body' | 'last',
  ): void {
    const bold = kind !== 'body';
    const tall = this.rowHeight(cells, look, bold);
    const top = this.doc.y;
    if (kind === 'head' || kind === 'head again') {
      this.artifact(() => this.doc.rect(MARGIN, top, this.width, tall).fill(TINT));
    }
    const draw = (): void => {
      let x = MARGIN;
      cells.forEach((cell, at) => {
        const wide = this.width * (look.widths[at] ?? 0);
        const content = (): void => {
          this.doc
            .font(bold ? 'bold' : 'plain')
            .fontSize(8.5)
            .fillColor(INK);
          const align = look.right?.includes(at) === true ? 'right' : 'left';
          this.doc.text(cell, x + 5, top + 4, { width: wide - 10, align, lineGap: 1.5 });
        };
        if (kind === 'head again') content();
        else {
          const element = this.doc.struct(kind === 'head' ? 'TH' : 'TD', {}, content);
          current?.add(element);
          element.end();
        }
        x += wide;
      });
    };
    // A head that is only repeated for the eye is not read out a second time.
    const current = kind === 'head again' ? undefined : this.doc.struct('TR');
    if (current === undefined) this.artifact(draw);
    else {
      table.add(current);
      draw();
      current.end();
    }
    this.artifact(() =>
      this.doc
        .moveTo(MARGIN, top + tall)
        .lineTo(MARGIN + this.width, top + tall)
        .lineWidth(0.5)
        .strokeColor(RULE)
        .stroke(),
    );
    this.doc.x = MARGIN;
    this.doc.y = top + tall;
  }

  private rowHeight(cells: readonly string[], look: TableLook, bold: boolean): number {
    const heights = cells.map((cell, at) => {
      const wide = this.width * (look.widths[at] ?? 0) - 10;
      this.doc.font(bold ? 'bold' : 'plain').fontSize(8.5);
      return this.doc.heightOfString(cell === '' ? ' ' : cell, { width: wide, lineGap: 1.5 });
    });
    return Math.max(...heights) + 8;
  }

  private plain(size: number): PDFKit.PDFDocument {
    return this.doc.font('plain').fontSize(size).fillColor(INK);
  }

  private height(text: string, font: 'plain' | 'bold', size: number, width: number): number {
    return this.doc.font(font).fontSize(size).heightOfString(text, { width, lineGap: 2 });
  }

  private floor(): number {
    return this.doc.page.height - this.doc.page.margins.bottom;
  }

  private room(tall: number): void {
    if (this.doc.y + tall > this.floor()) this.doc.addPage();
  }

  private block(tag: string, draw: () => void, options: { readonly lang?: string } = {}): void {
    const element = this.doc.struct(tag, options, draw);
    this.root.add(element);
    element.end();
  }

  /** What is for the eye only: rules, tints, page numbers. */
  private artifact(draw: () => void): void {
    this.doc.markContent('Artifact', { type: 'Layout' });
    draw();
    this.doc.endMarkedContent();
  }
}
