import Pdf from 'pdfkit';

/** What a packet's file says of itself, and what it is set in. */
export interface PageOptions {
  readonly title: string;
  readonly author: string;
  readonly made: Date;
  /** Stands at the foot of every page, before the page number. */
  readonly foot: string;
  readonly fonts: { readonly plain: Buffer; readonly bold: Buffer };
}

/** Opens an A4 document: tagged, in English, with its title shown, dates given and not taken from the clock. */
export function openPdf(options: PageOptions, margin: number): PDFKit.PDFDocument {
  const { title, author, made, fonts } = options;
  const doc = new Pdf({
    size: 'A4',
    margins: { top: margin, left: margin, right: margin, bottom: margin + 12 },
    pdfVersion: '1.7',
    tagged: true,
    lang: 'en',
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
