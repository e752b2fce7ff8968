const UUID = /^[0-9a-f]{8}-[0-9a-f]{4}-[1-8][0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/;

/** Reads a UUID (RFC 9562) in any case; undefined when it is none. Parsed once at the edge and trusted afterwards. */
export function parseUuid(text: string): string | undefined {
  const lower = text.toLowerCase();
  return UUID.test(lower) ? lower : undefined;
}
