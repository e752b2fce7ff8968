import { TextField } from '../../platform/http/fields.js';

/** The photo that a client takes to be sent. */
export class UploadDigestDto {
  @TextField({ min: 64, max: 64, pattern: /^[0-9a-f]{64}$/, description: 'SHA-256 of the photo, lower-case hex.' })
  sha256: string;
}
