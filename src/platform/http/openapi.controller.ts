import { Controller, Get, Header, Injectable, type OnApplicationBootstrap } from '@nestjs/common';
import { ApiExcludeController, type OpenAPIObject } from '@nestjs/swagger';
import { Public } from './public.js';

/** Holds the description of the API once it has been made. */
@Injectable()
export class ApiDescription implements OnApplicationBootstrap {
  private make: (() => OpenAPIObject) | undefined;
  private document: OpenAPIObject | undefined;

  /** @param make describes the whole app; called at the first reading */
  describedBy(make: () => OpenAPIObject): void {
    this.make = make;
  }

  onApplicationBootstrap(): void {
    this.document = undefined;
  }

  read(): OpenAPIObject {
    if (this.make === undefined) throw new Error('nobody has said how to describe the API');
    this.document ??= this.make();
    return this.document;
  }
}

@Public()
@ApiExcludeController()
@Controller('v1')
export class OpenApiController {
  constructor(private readonly description: ApiDescription) {}

  @Get('openapi.json')
  @Header('content-type', 'application/json; charset=utf-8')
  @Header('content-disposition', 'attachment; filename="as-noted-openapi.json"')
  document(): OpenAPIObject {
    return this.description.read();
  }
}
