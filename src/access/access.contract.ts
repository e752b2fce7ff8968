export { serviceActor, type Actor } from './domain/actor.js';
export {
  ACTS,
  actorRef,
  judge,
  KEY_SCOPES,
  may,
  RETAILER_KEY_SCOPES,
  type Act,
  type KeyScope,
  type Thing,
  type Verdict,
} from './domain/may.js';
