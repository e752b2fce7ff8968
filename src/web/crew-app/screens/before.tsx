import { useState } from 'preact/hooks';
import type { FoundAt } from '../../../inspections/inspections.contract.js';
import { say } from '../../domain/walk-view.js';
import type { CrewUnit } from '../../shared/crew-pack.js';
import { begin } from '../actions.js';
import { go, useApp } from '../app-state.js';
import { Picks } from '../parts/fields.js';
import { Frame, Heading, Note, Way } from '../parts/frame.js';
import { sayer } from '../words/sayer.js';

/** Load constant of the revised NIOSH lifting equation, Applications Manual, publication 94-110 (1994, revised 2021), section 1.3. */
const LIMIT_GRAMS = 23_000;
const GRAMS_PER_POUND = 453.592_37;

/** Before the first check: what can hurt, and what the thing weighs. */
export function Before({ visit, unit: unitId }: { readonly visit: string; readonly unit: string }) {
  const { lang, visits } = useApp();
  const w = sayer(lang);
  const [foundAt, setFoundAt] = useState<FoundAt>('unboxing');
  const [failed, setFailed] = useState(false);
  const [busy, setBusy] = useState(false);
  const held = visits.find(({ id }) => id === visit);
  const unit = held?.pack.units.find(({ id }) => id === unitId);
  const checklist = held?.pack.checklists[unit?.checklist ?? ''];
  if (held === undefined || unit === undefined || checklist === undefined) return null;
  const { crewSize } = held.pack.visit;
  const start = (): void => {
    setBusy(true);
    begin(visit, { serial: unit.serial, crewSize, foundAt, checklist: unit.checklist }).then(
      (id) => go(`/crew/inspections/${id}`, true),
      () => {
        setBusy(false);
        setFailed(true);
      },
    );
  };
  return (
    <Frame title={w('before')}>
      <div class="stack">
        <Heading about={unitId}>{w('before')}</Heading>
        <p>
          {unit.title} · <span class="nums">{unit.serial}</span>
        </p>
        <Note tone="warn">
          <ul class="cautions">
            {checklist.cautions.map((caution) => (
              <li key={caution.en}>{say(caution, lang)}</li>
            ))}
          </ul>
        </Note>
        <Weight unit={unit} people={crewSize} />
        <Picks
          name="found-at"
          legend={w('when')}
          options={(['unboxing', 'assembly', 'use'] as const).map((at) => [at, w(at)] as const)}
          value={foundAt}
          onPick={setFoundAt}
        />
        {failed ? (
          <Note tone="bad" alert>
            <p>{w('notKept')}</p>
          </Note>
        ) : null}
        <button class="go big-go" onClick={start} disabled={busy}>
          {w('beginNow')}
        </button>
        <p class="quiet">{w('advice')}</p>
        <nav class="ways" aria-label={w('visit')}>
          <Way to={`/crew/visits/${visit}`}>{w('toVisit')}</Way>
        </nav>
      </div>
    </Frame>
  );
}

/** What each person would carry, beside the limit that holds under the best of conditions. It advises; it never certifies. */
function Weight({ unit, people }: { readonly unit: CrewUnit; readonly people: number }) {
  const { lang } = useApp();
  const w = sayer(lang);
  const shown = (grams: number): string => {
    const number = new Intl.NumberFormat(lang, { maximumFractionDigits: 0 });
    return `${number.format(grams / 1000)} kg (${number.format(grams / GRAMS_PER_POUND)} lb)`;
  };
  const share = unit.grossGrams / people;
  return (
    <section class="sheet stack">
      <h2>{w('weight')}</h2>
      <dl class="facts">
        <dt>{w('weightCarton')}</dt>
        <dd>{shown(unit.grossGrams)}</dd>
        <dt>{w('weightUnit')}</dt>
        <dd>{shown(unit.netGrams)}</dd>
        <dt>{w('weightEach', people)}</dt>
        <dd>
          <strong>{shown(share)}</strong>
        </dd>
      </dl>
      {share > LIMIT_GRAMS ? (
        <Note tone="bad">
          <p>{w('weightOver')}</p>
        </Note>
      ) : null}
      <p class="quiet">{w('weightAdvice')}</p>
    </section>
  );
}
