import { Param, type PipeTransform } from '@nestjs/common';
import { parseUuid } from '../../kernel/ids.js';
import { Refused } from './problems.js';

class IdPipe implements PipeTransform<string, string> {
  transform(text: string): string {
    const id = parseUuid(text);
    if (id === undefined)
      throw new Refused('not-found', 'The last part of this address is not an id that we give out.');
    return id;
  }
}

/** A path parameter that is a UUID. Anything else cannot exist, so it answers not-found like a missing row. */
export function IdParam(name: string): ParameterDecorator {
  return Param(name, new IdPipe());
}
