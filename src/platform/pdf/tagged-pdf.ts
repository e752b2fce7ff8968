import Pdf from 'pdfkit';

/** What a file says of itself, and what it is set in. */
export interface PageOptions {
  readonly title: string;
  readonly author: string;
  readonly made: Date;
  /** Stands at the foot of every page, before the page number. */
  readonly foot: string;
  /** Language of the text (BCP 47). Absent: English. */
  readonly lang?: string;
  /** Words at the foot of a page. Absent: in English. */
  readonly numbered?: (page: number, of: number) => string;
  readonly fonts: { readonly plain: Buffer; readonly bold: Buffer };
}

/** A label and what it is about. */
export interface PaperFact {
  readonly label: string;
  readonly value: string;
}

/** A picture that goes on a page, or why there is none. Width and height in pixels. */
export type PaperPicture =
  | { readonly ok: true; readonly jpeg: Buffer; readonly width: number; readonly height: number }
  | { readonly ok: false; readonly because: string };

/** A photo as it goes on the page. */
export interface ShownPhoto {
  readonly says: string;
  readonly sha256: string;
  readonly picture: PaperPicture;
}

/** Opens an A4 document: tagged, with its language, its title shown, dates given and not taken from the clock. */
export function openPdf(options: PageOptions, margin: number): PDFKit.PDFDocument {
  const { title, author, made, fonts, lang = 'en' } = options;
  const doc = new Pdf({
    size: 'A4',
    margins: { top: margin, left: margin, right: margin, bottom: margin + 12 },
    pdfVersion: '1.7',
    tagged: true,
    lang,
    displayTitle: true,
    bufferPages: true,
    info: {
      Title: title,
      Author: author,
      CreationDate: made,
      ModDate: made,
      Producer: 'As Noted',
      Creator: 'As Noted',
    },
  });
  doc.registerFont('plain', fonts.plain);
  doc.registerFont('bold', fonts.bold);
  return doc;
}
