/**
 * A path on our own origin, or the other one. What comes from a query or a form decides where a browser goes, so anything that could lead
 * to another site (a scheme, two slashes, a backslash, a control character) is not taken.
 */
export function localAddress(text: string, otherwise: string): string {
  return /^\/(?![/\\])[\x21-\x5b\x5d-\x7e]*$/.test(text) ? text : otherwise;
}
