import { Body, Controller, Delete, Get, HttpCode, Param, Put, Query } from '@nestjs/common';
import { ApiNoContentResponse, ApiOkResponse, ApiOperation, ApiTags } from '@nestjs/swagger';
import type { Actor } from '../../access/access.contract.js';
import { CurrentActor, Needs } from '../../access/access.decorators.js';
import { Problems } from '../../platform/http/problem-docs.js';
import { Refused } from '../../platform/http/problems.js';
import { HolidaysService, type HolidayEntry } from '../holidays.service.js';
import { HolidayBody, HolidayYearBody, HolidayYearQuery, HolidayYearView } from './holidays.dto.js';

/** Public holidays by place: tables, and the house's own word over them. */
@ApiTags('holidays')
@Controller('v1/holidays/:place')
export class HolidaysController {
  constructor(private readonly holidays: HolidaysService) {}

  @Get()
  @Needs('policy.read')
  @ApiOperation({ summary: 'The public holidays of a place in a year, as clocks count them' })
  @ApiOkResponse({ type: HolidayYearView })
  @Problems('not-found')
  async year(
    @CurrentActor() actor: Actor,
    @Param('place') place: string,
    @Query() query: HolidayYearQuery,
  ): Promise<HolidayYearView> {
    const read = await this.holidays.year(actor, placeOf(place), query.year);
    return { ...read, days: [...read.days] };
  }

  @Put('days/:day')
  @Needs('calendar.manage')
  @HttpCode(204)
  @ApiOperation({ summary: 'Say that a day is a public holiday, or that it is none' })
  @ApiNoContentResponse()
  @Problems('not-found')
  async setDay(
    @CurrentActor() actor: Actor,
    @Param('place') place: string,
    @Param('day') day: string,
    @Body() body: HolidayBody,
  ): Promise<void> {
    await this.holidays.set(actor, dayEntry(place, day), body);
  }

  @Delete('days/:day')
  @Needs('calendar.manage')
  @HttpCode(204)
  @ApiOperation({ summary: 'Take your word on a day back; the tables hold again' })
  @ApiNoContentResponse()
  @Problems('not-found')
  async removeDay(
    @CurrentActor() actor: Actor,
    @Param('place') place: string,
    @Param('day') day: string,
  ): Promise<void> {
    await this.holidays.remove(actor, dayEntry(place, day));
  }

  @Put('years/:year')
  @Needs('calendar.manage')
  @HttpCode(204)
  @ApiOperation({
    summary: 'Say that the days you set are all the public holidays of a year; the tables no longer count',
  })
  @ApiNoContentResponse()
  @Problems('not-found')
  async setYear(
    @CurrentActor() actor: Actor,
    @Param('place') place: string,
    @Param('year') year: string,
    @Body() body: HolidayYearBody,
  ): Promise<void> {
    await this.holidays.set(actor, yearEntry(place, year), { holiday: true, reason: body.reason });
  }

  @Delete('years/:year')
  @Needs('calendar.manage')
  @HttpCode(204)
  @ApiOperation({ summary: 'Let the tables count again for a year' })
  @ApiNoContentResponse()
  @Problems('not-found')
  async removeYear(
    @CurrentActor() actor: Actor,
    @Param('place') place: string,
    @Param('year') year: string,
  ): Promise<void> {
    await this.holidays.remove(actor, yearEntry(place, year));
  }
}

function placeOf(text: string): string {
  if (/^[A-Z]{2}(-[A-Z0-9]{1,3})?$/.test(text)) return text;
  throw new Refused('not-found', 'Write the place as a country like DE, or with its part like US-CA.');
}

function dayEntry(place: string, day: string): HolidayEntry {
  const exists = /^(?:19|20|21)\d\d-\d\d-\d\d$/.test(day) && !Number.isNaN(Date.parse(`${day}T00:00:00Z`));
  if (exists && new Date(`${day}T00:00:00Z`).toISOString().startsWith(day)) {
    return { place: placeOf(place), on: day, kind: 'day' };
  }
  throw new Refused('not-found', 'There is no such day. Write it like 2026-07-04.');
}

function yearEntry(place: string, year: string): HolidayEntry {
  if (/^(?:19|20|21)\d\d$/.test(year)) return { place: placeOf(place), on: `${year}-01-01`, kind: 'whole year' };
  throw new Refused('not-found', 'There is no such year. Write it like 2026.');
}
