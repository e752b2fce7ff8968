import { Injectable } from '@nestjs/common';
import { In, type EntityManager } from 'typeorm';
import type { Answer } from '../inspections.contract.js';
import { SettledAnswerRow } from './settled-answer.entity.js';

/** Answers that an analyst settled. */
@Injectable()
export class SettledAnswerStore {
  /** Settled answers of inspections, oldest first. */
  async of(tx: EntityManager, tenant: string, inspections: readonly string[]): Promise<SettledAnswerRow[]> {
    if (inspections.length === 0) return [];
    return tx.find(SettledAnswerRow, {
      where: { tenantId: tenant, inspectionId: In([...inspections]) },
      order: { settledAt: 'ASC', id: 'ASC' },
    });
  }

  /** What counts in an inspection because it was settled: the newest word on each item, unless an answer came after it. */
  async counting(tx: EntityManager, tenant: string, inspectionId: string): Promise<Answer[]> {
    return tx.query<Answer[]>(
      `select distinct on (settled.item) settled.item, settled.value from settled_answer settled
       where settled.tenant_id = $1 and settled.inspection_id = $2
         and not exists (select 1 from inspection_answer later where later.tenant_id = $1 and later.inspection_id = $2
           and later.item = settled.item and later.id > settled.up_to)
       order by settled.item, settled.settled_at desc, settled.id desc`,
      [tenant, inspectionId],
    );
  }

  /** Keeps what was settled, up to the newest answer of the inspection to that item. */
  async add(tx: EntityManager, row: Omit<SettledAnswerRow, 'id' | 'upTo'>): Promise<void> {
    await tx.query(
      `insert into settled_answer (tenant_id, visit_id, inspection_id, item, value, words, up_to, facts, settled_at, settled_by,
         settled_by_name)
       values ($1, $2, $3, $4, $5::jsonb, $6,
         (select coalesce(max(id), 0) from inspection_answer where tenant_id = $1 and inspection_id = $3 and item = $4),
         $7::uuid[], $8, $9, $10)`,
      [
        row.tenantId,
        row.visitId,
        row.inspectionId,
        row.item,
        // `value` is JSON: text must arrive as a JSON string, and null as SQL null.
        row.value === null ? null : JSON.stringify(row.value),
        row.words,
        row.facts,
        row.settledAt,
        row.settledBy,
        row.settledByName,
      ],
    );
  }
}
