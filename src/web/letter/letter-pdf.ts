import { paperFonts } from '../../platform/pdf/paper-fonts.js';
import { Paper } from '../../platform/pdf/paper.js';
import type { LetterContent } from '../domain/letter.js';
import { letterWord } from '../domain/letter-words.js';

/**
 * A letter as one PDF on A4: tagged, with language and title, fonts embedded, text that can be searched. It says what the page says. The
 * same content gives the same bytes.
 */
export function letterPdf(content: LetterContent): Promise<Buffer> {
  const page = new Paper({
    title: content.title,
    author: content.from.join(', '),
    made: new Date(Temporal.Instant.from(content.madeAt).epochMilliseconds),
    foot: content.title,
    lang: content.lang,
    numbered: (n, of) => letterWord(content.lang, 'page', n, of),
    fonts: paperFonts(),
  });
  page.paragraph(content.date, undefined, 10.5);
  for (const line of content.to) page.paragraph(line, undefined, 10.5);
  page.paragraph(' ', undefined, 10.5);
  page.title(content.title);
  page.facts(content.facts, 10.5);
  page.heading(content.outcome);
  for (const line of content.gives) page.paragraph(line, undefined, 10.5);
  if (content.words !== undefined) {
    page.heading(content.words.heading);
    const lang = content.words.lang === content.lang ? undefined : content.words.lang;
    for (const block of content.words.text.split(/\n{2,}/)) page.paragraph(block, lang, 10.5);
  }
  if (content.replaced !== undefined) {
    page.heading(content.replaced.title);
    page.paragraph(content.replaced.says, undefined, 10.5);
  }
  if (content.next.length > 0) {
    page.heading(content.nextHeading);
    for (const line of content.next) page.paragraph(line, undefined, 10.5);
  }
  page.paragraph(' ', undefined, 10.5);
  for (const line of content.from) page.paragraph(line, undefined, 10.5);
  page.notice(content.caution);
  return page.finish();
}
