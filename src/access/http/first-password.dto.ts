import { TextField } from '../../platform/http/fields.js';

/** A new first password, for whoever has forgotten theirs. */
export class FirstPasswordBody {
  @TextField({ max: 1024 })
  password: string;
}
