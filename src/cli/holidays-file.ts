import { byName, list, must, object, oneOf } from '../adjudication/domain/json-reading.js';
import { date } from '../adjudication/domain/read-values.js';
import type { Fault } from '../kernel/outcome.js';
import type { HolidayOverrides } from '../platform/calendar/holidays.js';
import { BadInput, DOCUMENT_BYTES, readJson } from './json-input.js';
import type { Io } from './verb.js';

interface HolidaysFile {
  readonly format: 'holidays/1';
  readonly years: HolidayOverrides;
}

const shape = object<HolidaysFile>({
  format: must(oneOf(['holidays/1'])),
  years: must(byName(list(date, 366), 200)),
});

/**
 * Reads an own list of public holidays: `{"format":"holidays/1","years":{"2026":["2026-01-01"]}}`. A year that is listed replaces
 * the table's whole year.
 * @throws BadInput when the file is not of that form
 */
export async function readHolidays(file: string, io: Io): Promise<HolidayOverrides> {
  const json = await readJson(file, DOCUMENT_BYTES, io);
  const faults: Fault[] = [];
  const read = shape(json, '#', faults);
  for (const [year, dates] of Object.entries(read?.years ?? {})) {
    for (const day of dates) {
      if (!day.startsWith(`${year}-`)) {
        faults.push({ pointer: `#/years/${year}`, detail: `${day} is not a day of the year ${year}.` });
      }
    }
  }
  if (read === undefined || faults.length > 0) throw new BadInput(file, faults);
  return read.years;
}
