import { describe, expect, it } from 'vitest';
import { PASSWORD_MAX, passwordFault } from './password-rules.js';
import { roleFaults } from './roles.js';

const ABOUT = ['mara.lindqvist@example.test', 'Mara Lindqvist'];

describe('a password', () => {
  // NIST SP 800-63B-4 section 3.1.1.2: 15 where it is the only factor, at least 64 allowed, code points counted, nothing demanded.
  it.each([
    ['14 characters', 'plum tin river', false],
    ['15 characters', 'plum tin rivers', true],
    ['15 lower-case letters without digits or signs', 'quietlampharbor', true],
    ['64 characters with spaces', 'the small boat left the harbour before the fog came in from sea', true],
    ['15 different emoji, which are 30 UTF-16 units', '😀🎈🚲🌵🍋🦉🐙🎺🧭🪁🍩🛶🎲🧦🔭', true],
    ['7 emoji, which are 14 UTF-16 units', '😀🎈🚲🌵🍋🦉🐙', false],
  ])('%s', (_what, password, accepted) => {
    expect(passwordFault(password, ABOUT) === undefined).toBe(accepted);
  });

  it('counts one code point 15 times as 15, and is refused as a repetition only', () => {
    expect(passwordFault('😀'.repeat(15), ABOUT)).toMatch(/repetition/);
    expect(passwordFault('😀'.repeat(14), ABOUT)).toMatch(/at least 15/);
  });

  it.each(['passwordpassword', 'Password-Password', '123456789012345', 'abcdefghijklmnop', 'xyxyxyxyxyxyxyxy'])(
    'is refused when everybody could think of it: %s',
    (password) => {
      expect(passwordFault(password, ABOUT)).toBeDefined();
    },
  );

  it('is refused when it is made from the person or the service', () => {
    expect(passwordFault('mara.lindqvist2026', ABOUT)).toMatch(/your name/);
    expect(passwordFault('AsNotedClaims2026!', ABOUT)).toMatch(/name of the service/);
    expect(passwordFault('mara keeps seven grey geese', ABOUT)).toBeUndefined();
  });

  it('may be long, but not without end', () => {
    const words = 'grey geese over seven quiet harbours '.repeat(20);
    expect(passwordFault(words.slice(0, PASSWORD_MAX), ABOUT)).toBeUndefined();
    expect(passwordFault(words.slice(0, PASSWORD_MAX + 1), ABOUT)).toMatch(/at most/);
  });
});

describe('a set of roles', () => {
  it.each([
    ['an analyst', ['analyst'], undefined, 0],
    ['a retailer with its retailer', ['retailer'], 'r', 0],
    ['a retailer without one', ['retailer'], undefined, 1],
    ['a retailer that also decides', ['retailer', 'analyst'], 'r', 1],
    ['an analyst of a retailer', ['analyst'], 'r', 1],
    ['nobody', [], undefined, 1],
  ] as const)('%s', (_what, roles, retailer, faults) => {
    expect(roleFaults(roles, retailer)).toHaveLength(faults);
  });
});
