import { Injectable } from '@nestjs/common';
import { DocumentVersionStore } from '../../platform/documents/document-version.store.js';
import { EvidenceModelVersionRow } from './evidence-model-version.entity.js';

/** Versions of evidence models. */
@Injectable()
export class EvidenceModelVersionStore extends DocumentVersionStore<EvidenceModelVersionRow> {
  constructor() {
    super(EvidenceModelVersionRow);
  }
}
