import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { projectRoot } from '../config/project-root.js';

const FONTS = join(projectRoot(), 'node_modules', 'dejavu-fonts-ttf', 'ttf');
/** Process-wide: the files do not change while the process runs. */
let fonts: { readonly plain: Buffer; readonly bold: Buffer } | undefined;

/** DejaVu, which the service embeds so that every letter prints alike everywhere; read once. */
export function paperFonts(): { readonly plain: Buffer; readonly bold: Buffer } {
  fonts ??= {
    plain: readFileSync(join(FONTS, 'DejaVuSans.ttf')),
    bold: readFileSync(join(FONTS, 'DejaVuSans-Bold.ttf')),
  };
  return fonts;
}
