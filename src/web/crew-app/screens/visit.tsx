import { useEffect, useState } from 'preact/hooks';
import { RECEIPTS, type Receipt } from '../../../kernel/vocabulary.js';
import type { StateMark } from '../../domain/state-marks.js';
import type { CrewUnit } from '../../shared/crew-pack.js';
import { note, renew } from '../actions.js';
import { useApp } from '../app-state.js';
import { Box, Moment, Picks } from '../parts/fields.js';
import { Frame, Heading, Mark, Note, Way } from '../parts/frame.js';
import { Owed } from '../parts/owed.js';
import type { CrewWord } from '../words/english.js';
import { sayer } from '../words/sayer.js';
import type { HeldVisit } from '../keep/database.js';
import { inspectionsOf } from '../walk/inspection.js';
import { fieldOf, instantOf, window as windowOf } from '../walk/times.js';

/** The job card: where, when, what is brought, what the receipt says. */
export function Visit({ id }: { readonly id: string }) {
  const app = useApp();
  const { lang, visits } = app;
  const w = sayer(lang);
  const [expired, setExpired] = useState(false);
  useEffect(() => {
    void renew(id).then((how) => setExpired(how === 'expired'));
  }, [id]);
  const held = visits.find((visit) => visit.id === id);
  if (held === undefined) return null;
  const { visit, units } = held.pack;
  return (
    <Frame title={w('visit')}>
      <div class="stack">
        <Heading about={id}>{visit.address[0]}</Heading>
        <p>{visit.address.slice(1).join(', ')}</p>
        <Owed />
        {expired ? (
          <Note tone="warn" title={w('needsYou')} alert>
            <p>{w('linkExpired')}</p>
          </Note>
        ) : null}
        <dl class="facts sheet">
          <dt>{w('between')}</dt>
          <dd>{windowOf(visit, lang)}</dd>
          <dt>{w('order')}</dt>
          <dd class="nums">{visit.order}</dd>
          <dt>{w('people')}</dt>
          <dd>{visit.crewSize}</dd>
          <dt>{w('carrier')}</dt>
          <dd>{visit.carrier}</dd>
        </dl>
        {units.map((unit) => (
          <Unit unit={unit} held={held} key={unit.id} />
        ))}
        <ReceiptForm held={held} />
        <nav class="ways" aria-label={w('today')}>
          <Way to="/crew">{w('today')}</Way>
          <Way to="/crew/help">{w('help')}</Way>
        </nav>
      </div>
    </Frame>
  );
}

function Unit({ unit, held }: { readonly unit: CrewUnit; readonly held: HeldVisit }) {
  const app = useApp();
  const w = sayer(app.lang);
  const begun = inspectionsOf(app, held.id).filter((each) => each.unit.id === unit.id);
  const open = begun.find(({ finished }) => !finished);
  const last = begun.at(-1);
  const here = app.facts.some(({ kind, inspection }) => kind === 'begin' && inspection === open?.id);
  const mark: StateMark =
    open !== undefined
      ? { shape: 'half', tone: 'info', says: w('open') }
      : last !== undefined
        ? { shape: 'tick', tone: 'ok', says: w('finished') }
        : { shape: 'ring', tone: 'plainly', says: w('notStarted') };
  return (
    <section class="sheet stack">
      <div>
        <h2>{unit.title}</h2>
        <p class="quiet">
          {w('serial')} <span class="nums">{unit.serial}</span>
        </p>
        <p>
          <Mark {...mark} />
        </p>
      </div>
      {open !== undefined ? (
        <>
          {here ? null : <p>{w('otherPhone')}</p>}
          <Way to={`/crew/inspections/${open.id}`} class="button go big-go">
            {w('goOn')}
          </Way>
        </>
      ) : unit.checklist === undefined ? (
        <Note tone="warn">
          <p>{w('noChecklist')}</p>
        </Note>
      ) : (
        <Way to={`/crew/visits/${held.id}/begin?unit=${unit.id}`} class={`button big-go${last ? '' : ' go'}`}>
          {w(last === undefined ? 'start' : 'again')}
        </Way>
      )}
      {last === undefined || open !== undefined ? null : (
        <Way to={`/crew/inspections/${last.id}/${last.claim === undefined ? 'checks' : 'sent'}`}>
          {w('moreAnswers')}
        </Way>
      )}
      {held.pack.claims
        .filter(({ serial }) => serial === unit.serial)
        .map(({ id, number }) => (
          <p key={id}>
            {w('claimNumber')}: <strong class="nums">{number}</strong>
          </p>
        ))}
    </section>
  );
}

function ReceiptForm({ held }: { readonly held: HeldVisit }) {
  const { lang, facts } = useApp();
  const w = sayer(lang);
  const noted = facts.filter(({ kind, visit }) => kind === 'receipt' && visit === held.id).at(-1)?.body;
  const known = held.pack.visit.receipt;
  const now = RECEIPTS.find((each) => each === (noted?.['kind'] ?? known?.kind));
  const [open, setOpen] = useState(now === undefined);
  const [kind, setKind] = useState<Receipt | undefined>(now);
  const [words, setWords] = useState(textOf(noted?.['words']) ?? known?.words ?? '');
  const [at, setAt] = useState(
    fieldOf(Date.parse(textOf(noted?.['deliveredAt']) ?? known?.deliveredAt ?? '') || Date.now()),
  );
  const [wrong, setWrong] = useState<Partial<Record<'kind' | 'words' | 'at', CrewWord>>>({});
  const save = (event: Event): void => {
    event.preventDefault();
    const deliveredAt = instantOf(at, Date.now());
    const faults = {
      ...(kind === undefined ? { kind: 'needReceipt' as const } : {}),
      ...(kind === 'exceptions noted' && words.trim() === '' ? { words: 'needWords' as const } : {}),
      ...(deliveredAt === undefined ? { at: 'needTime' as const } : {}),
    };
    setWrong(faults);
    if (Object.keys(faults).length > 0 || kind === undefined || deliveredAt === undefined) return;
    const body = { kind, deliveredAt, ...(words.trim() === '' ? {} : { words: words.trim() }) };
    note(held.id, { kind: 'receipt', body }).then(
      () => setOpen(false),
      () => setWrong({ kind: 'notKept' }),
    );
  };
  const says = (word: CrewWord | undefined): string | undefined => (word === undefined ? undefined : w(word));
  return (
    <section class="sheet" id="receipt">
      <h2>{w('receipt')}</h2>
      <details open={open} onToggle={({ currentTarget }) => setOpen(currentTarget.open)}>
        <summary>{now === undefined ? w('receiptHow') : `${w(now)} · ${w('receiptChange')}`}</summary>
        <form class="stack" onSubmit={save} noValidate>
          <Picks
            name="receipt-kind"
            legend={w('receiptHow')}
            quiet
            options={RECEIPTS.map((receipt) => [receipt, w(receipt)] as const)}
            value={kind}
            wrong={says(wrong.kind)}
            onPick={setKind}
          />
          <Box
            id="receipt-words"
            label={w('receiptWords')}
            value={words}
            max={2000}
            wrong={says(wrong.words)}
            onType={setWords}
          />
          <Moment id="receipt-at" label={w('receiptAt')} value={at} wrong={says(wrong.at)} onType={setAt} />
          <button class="go">{w('receiptSave')}</button>
        </form>
      </details>
    </section>
  );
}

function textOf(value: unknown): string | undefined {
  return typeof value === 'string' ? value : undefined;
}
