import { describe, expect, it } from 'vitest';
import { localAddress } from './local-address.js';

// The ways out are those of OWASP's Unvalidated Redirects and Forwards Cheat Sheet, from memory.
describe('where a form may send a browser', () => {
  it.each(['/desk', '/desk/claims/1?x=2#y', '/'])('%s is our own', (address) => {
    expect(localAddress(address, '/home')).toBe(address);
  });

  it.each([
    '//evil.example',
    '/\\evil.example',
    'https://evil.example',
    'javascript:alert(1)',
    '',
    '/a\nb',
    '/\t/evil',
  ])('%s is not', (address) => {
    expect(localAddress(address, '/home')).toBe('/home');
  });
});
