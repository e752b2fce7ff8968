import type { KeyScope } from '../../../access/access.contract.js';

/** What each scope lets a program do. */
export const SCOPE_WORDS: Readonly<Record<KeyScope, string>> = {
  'catalogue:read': 'read models and parts',
  'catalogue:write': 'change models and parts',
  'visits:read': 'read visits',
  'visits:write': 'plan visits, make links for crews',
  'claims:read': 'read claims and what is due',
  'claims:write': 'file claims, answer questions, withdraw, appeal',
  'returns:read': 'read returns',
  'returns:write': 'ask for returns',
  'insight:read': 'read the figures',
};
