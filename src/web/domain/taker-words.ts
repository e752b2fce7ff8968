/** Who has a claim, as a sentence. @param me id of whoever reads it */
export function takerWords(
  taker: { readonly id: string; readonly name: string } | null,
  me: string | undefined,
): string {
  if (taker === null) return 'Nobody has it';
  return taker.id === me ? 'You have it' : `${taker.name} has it`;
}
