/**
 * A checked body as plain objects, nested ones too. The validator hands out class instances, on which fields that were left out stand
 * as `undefined`; here they are really absent.
 */
export function plainBody<Body extends object>(body: Body): Body {
  // A body came as JSON, so nothing is lost on the way through JSON.
  return JSON.parse(JSON.stringify(body)) as Body;
}
