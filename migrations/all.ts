import { OpenTenants1764057600000 } from './1764057600000-open-tenants.js';
import { KeepCatalogue1764057600001 } from './1764057600001-keep-catalogue.js';
import { PublishDocuments1764057600002 } from './1764057600002-publish-documents.js';
import { PlanVisits1764057600003 } from './1764057600003-plan-visits.js';
import { KeepExhibits1764057600004 } from './1764057600004-keep-exhibits.js';
import { TrackClaims1764057600005 } from './1764057600005-track-claims.js';
import { NameAuthors1764057600006 } from './1764057600006-name-authors.js';
import { KeepLedger1764057600007 } from './1764057600007-keep-ledger.js';
import { RecoverCosts1764057600008 } from './1764057600008-recover-costs.js';
import { WatchClocks1764057600020 } from './1764057600020-watch-clocks.js';
import { OverrideHolidays1764057600021 } from './1764057600021-override-holidays.js';
import { GovernPolicies1764057600030 } from './1764057600030-govern-policies.js';
import { KeepDecisions1764057600031 } from './1764057600031-keep-decisions.js';
import { RehearsePolicies1764057600032 } from './1764057600032-rehearse-policies.js';
import { TakeUploads1764057600040 } from './1764057600040-take-uploads.js';
import { MarkPhotos1764057600045 } from './1764057600045-mark-photos.js';
import { FindPhotosAgain1764057600048 } from './1764057600048-find-photos-again.js';
import { HearPhones1764057600060 } from './1764057600060-hear-phones.js';
import { TellChanges1764057600070 } from './1764057600070-tell-changes.js';
import { KeepDeskViews1764057600075 } from './1764057600075-keep-desk-views.js';
import { WallKeys1764057600082 } from './1764057600082-wall-keys.js';
import { MindPhones1764057600086 } from './1764057600086-mind-phones.js';
import { TellVisitChanges1764057600088 } from './1764057600088-tell-visit-changes.js';
import { TakeClaims1764057600089 } from './1764057600089-take-claims.js';
import { TellPolicyChanges1764057600093 } from './1764057600093-tell-policy-changes.js';
import { MindModelDrafts1764057600094 } from './1764057600094-mind-model-drafts.js';
import { BeginModels1764057600095 } from './1764057600095-begin-models.js';
import { TellChecklistChanges1764057600096 } from './1764057600096-tell-checklist-changes.js';
import { KeepPromises1764057600097 } from './1764057600097-keep-promises.js';
import { KeepAddresses1764057600187 } from './1764057600187-keep-addresses.js';
import { KeepExports1764057600188 } from './1764057600188-keep-exports.js';

/** Every migration, oldest first. A step that has been released is never edited. */
export const ALL_MIGRATIONS = [
  OpenTenants1764057600000,
  KeepCatalogue1764057600001,
  PublishDocuments1764057600002,
  PlanVisits1764057600003,
  KeepExhibits1764057600004,
  TrackClaims1764057600005,
  NameAuthors1764057600006,
  KeepLedger1764057600007,
  RecoverCosts1764057600008,
  WatchClocks1764057600020,
  OverrideHolidays1764057600021,
  GovernPolicies1764057600030,
  KeepDecisions1764057600031,
  RehearsePolicies1764057600032,
  TakeUploads1764057600040,
  MarkPhotos1764057600045,
  FindPhotosAgain1764057600048,
  HearPhones1764057600060,
  TellChanges1764057600070,
  KeepDeskViews1764057600075,
  WallKeys1764057600082,
  MindPhones1764057600086,
  TellVisitChanges1764057600088,
  TakeClaims1764057600089,
  TellPolicyChanges1764057600093,
  MindModelDrafts1764057600094,
  BeginModels1764057600095,
  TellChecklistChanges1764057600096,
  KeepPromises1764057600097,
  KeepAddresses1764057600187,
  KeepExports1764057600188,
];
