/**
 * Rules of NIST SP 800-63B-4 for a password that is the only factor: at least 15 characters counted as code points, at least 64
 * allowed, no demands on kinds of characters, no cutting, and a comparison with what is commonly used or expected.
 */
export const PASSWORD_MIN = 15;
/** Far above the 64 that must be allowed; only keeps a request from being turned into work. */
export const PASSWORD_MAX = 256;

/** Long passwords that many people think of. From memory, not from a published list; common practice. */
const COMMON = new Set(
  (
    'passwordpassword password123456789 passwordpassword1 password1234567 123456789012345 1234567890123456 12345678901234567890 ' +
    '123456789123456789 987654321987654 098765432109876 qwertyuiopasdfgh qwertyuiopasdfghjkl qwertyuiop123456 qwertyuiop1234567890 ' +
    'qwertzuiopasdfgh 1q2w3e4r5t6y7u8i 1qaz2wsx3edc4rfv asdfghjklqwertyuiop zxcvbnmasdfghjkl iloveyouiloveyou iloveyousomuch1 ' +
    'letmeinletmein1 letmeinplease123 welcomewelcome1 welcome123456789 administrator1 administrator123 administrator1234 ' +
    'changemechangeme changeme12345678 thisismypassword mypasswordispassword thepasswordispassword correcthorsebatterystaple ' +
    'trustno1trustno1 superman12345678 football12345678 baseball12345678 monkeymonkeymonkey dragondragondragon ' +
    'sunshinesunshine princessprincess abcdefghijklmnop abcdefghijklmnopqrstuvwxyz abc123abc123abc123 secretsecretsecret'
  ).split(' '),
);

/** Names that an attacker tries first here. */
const OURS = ['asnoted', 'claims', 'claimsservice'];

/**
 * Why a password is not accepted, as one sentence; undefined when it is fine.
 * @param about words an attacker would try for this person: e-mail address and name
 */
export function passwordFault(password: string, about: readonly string[]): string | undefined {
  const length = Array.from(password).length;
  if (length < PASSWORD_MIN) {
    return `Use at least ${PASSWORD_MIN} characters. A few words with spaces between them are easy to remember.`;
  }
  if (length > PASSWORD_MAX) return `Use at most ${PASSWORD_MAX} characters.`;
  const typed = password.toLowerCase();
  const plain = typed.replace(/[^\p{L}\p{N}]/gu, '');
  if (COMMON.has(plain) || COMMON.has(typed)) return 'Many people use this password. Choose another one.';
  if (isRepeated(typed) || isRepeated(plain) || isRun(plain))
    return 'This is a repetition or a row of keys. Choose something else.';
  if (isMostlyKnown(plain, [...OURS, ...about.flatMap(wordsOf)])) {
    return 'This is made from your name, your address or the name of the service. Choose something else.';
  }
  return undefined;
}

/** One unit of up to eight characters over and over. */
function isRepeated(text: string): boolean {
  return /^(.{1,8}?)\1+(?:.{0,7})$/u.test(text) && new Set(text).size <= 8;
}

/** Each character the next or previous code point of the one before, with at most two breaks. */
function isRun(text: string): boolean {
  const points = Array.from(text, (character) => character.codePointAt(0) ?? 0);
  const breaks = points.slice(1).filter((point, n) => Math.abs(point - (points[n] ?? 0)) !== 1).length;
  return points.length > 1 && breaks <= 2;
}

/** What remains after taking the known words out is too little to be a secret. */
function isMostlyKnown(text: string, known: readonly string[]): boolean {
  const rest = known
    .filter((word) => word.length >= 4)
    .sort((a, b) => b.length - a.length)
    .reduce((left, word) => left.replaceAll(word, ''), text);
  return rest.length < text.length && rest.replace(/\d/g, '').length < 6;
}

function wordsOf(text: string): string[] {
  return text
    .toLowerCase()
    .split(/[^\p{L}\p{N}]+/u)
    .filter((word) => word !== '');
}
