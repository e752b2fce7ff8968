import { SetMetadata } from '@nestjs/common';

/** Metadata key of routes that need no credential. */
export const PUBLIC_ROUTE = 'as-noted:public';

/** The route answers anybody. A credential that comes along is still read. */
export function Public(): MethodDecorator & ClassDecorator {
  return SetMetadata(PUBLIC_ROUTE, true);
}
