import { Param, type PipeTransform } from '@nestjs/common';
import { Refused } from '../../platform/http/problems.js';

class DecisionNumberPipe implements PipeTransform<string, number> {
  transform(text: string): number {
    if (!/^[1-9]\d{0,5}$/.test(text)) throw new Refused('not-found', 'There is no decision of this number.');
    return Number(text);
  }
}

/** The path parameter `n`: the number of a decision, counted from 1 within its claim. */
export function DecisionNumber(): ParameterDecorator {
  return Param('n', new DecisionNumberPipe());
}
