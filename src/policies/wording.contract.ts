/** A policy in words and as text, without the engine that reads it: small enough for pages that show one. */
export { periodWords } from './domain/analysis/periods.js';
export { formatPolicy } from './format-policy.js';
