import { Param, type PipeTransform } from '@nestjs/common';
import { Refused } from '../http/problems.js';

class VersionPipe implements PipeTransform<string, number> {
  transform(text: string): number {
    if (!/^[1-9]\d{0,8}$/.test(text)) throw new Refused('not-found', 'Versions are numbered 1, 2, 3 and so on.');
    return Number(text);
  }
}

/** The path parameter `version` as a number. Anything else cannot exist, so it answers not-found. */
export function VersionParam(): ParameterDecorator {
  return Param('version', new VersionPipe());
}
