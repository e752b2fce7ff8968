import { useState, type ReactNode } from 'react';
import { versionActs, type VersionAct } from '../../domain/policy-marks.js';
import { useStep, type ReadVersion, type VersionEvidence } from '../api/policies.js';
import { TextBox, TextLine, TroubleNote } from '../parts/fields.js';
import { Note } from '../parts/parts.js';
import { useOnlooker } from '../shell.js';

interface ActsProps {
  readonly version: ReadVersion;
  /** Absent until it has come. */
  readonly evidence: VersionEvidence | undefined;
}

/** The steps that are open now, and why one of them is not yours. */
export function ReviewActs({ version, evidence }: ActsProps): ReactNode {
  const { data: onlooker } = useOnlooker();
  const acts = versionActs(version.state);
  const isOwner = onlooker?.acts.includes('policy.publish') === true;
  const wrote = version.steps.some(({ kind, by }) => by === onlooker?.id && (kind === 'drafted' || kind === 'edited'));
  const needsOther = acts.includes('approval') || acts.includes('publication');
  const [typed, setTyped] = useState<Typed>({});
  const keep = (act: VersionAct) => (words: string) => setTyped((before) => ({ ...before, [act]: words }));
  const open = acts.filter((act) => !(wrote && (act === 'approval' || act === 'publication')));
  return (
    <section className="sheet acts stack" id="acts">
      <h2>Your move</h2>
      {acts.length === 0 ? (
        <p className="quiet">Nothing is left to do here. Write a new version to change it.</p>
      ) : null}
      {acts.length > 0 && onlooker && !isOwner ? (
        <p className="quiet">Policy owners take the next step. You can look at everything here, and rehearse it.</p>
      ) : null}
      {isOwner && wrote && needsOther ? (
        <Note tone="info" title="A second person is needed.">
          <p>You wrote this version, or a part of it. Somebody else who owns policies has to approve it.</p>
        </Note>
      ) : null}
      {isOwner
        ? open.map((act) => (
            <OneAct
              key={act}
              act={act}
              version={version}
              evidence={evidence}
              words={typed[act] ?? ''}
              onWords={keep(act)}
            />
          ))
        : null}
      <Overtaken typed={typed} open={open} />
    </section>
  );
}

/** What somebody has typed for an act and not sent. */
type Typed = Partial<Readonly<Record<VersionAct, string>>>;

/** Words for an act that is no longer open, because somebody else moved the version meanwhile: they are not lost. */
function Overtaken({ typed, open }: { readonly typed: Typed; readonly open: readonly VersionAct[] }): ReactNode {
  const left = (Object.entries(typed) as [VersionAct, string][]).filter(
    ([act, words]) => words !== '' && !open.includes(act),
  );
  if (left.length === 0) return null;
  return (
    <Note tone="warn" title="Somebody moved this version while you were writing.">
      <p>Look at the steps below. What you had typed is kept here:</p>
      {left.map(([act, words]) => (
        <p className="kept" key={act}>
          {FORMS[act].title}: {words}
        </p>
      ))}
    </Note>
  );
}

interface FormWords {
  readonly title: string;
  readonly button: string;
  readonly tone: 'go' | 'no' | 'do';
  readonly label: string;
  /** Whether words must go with it. */
  readonly demands: boolean;
}

const FORMS: Readonly<Record<VersionAct, FormWords>> = {
  proposal: {
    title: 'Put it before a second person',
    button: 'Propose it',
    tone: 'go',
    label: 'What the second person should know',
    demands: false,
  },
  approval: {
    title: 'Approve it',
    button: 'Approve this content',
    tone: 'go',
    label: 'What you looked at',
    demands: false,
  },
  rejection: { title: 'Send it back', button: 'Send it back', tone: 'no', label: 'Why', demands: true },
  publication: {
    title: 'Put it on the calendar',
    button: 'Put it on the calendar',
    tone: 'go',
    label: '',
    demands: false,
  },
  withdrawal: {
    title: 'Take it off the calendar',
    button: 'Take it off the calendar',
    tone: 'no',
    label: 'Why',
    demands: true,
  },
};

interface OneActProps extends ActsProps {
  readonly act: VersionAct;
  readonly words: string;
  readonly onWords: (words: string) => void;
}

function OneAct({ act, version, evidence, words, onWords }: OneActProps): ReactNode {
  const step = useStep(version, { taken: () => onWords('') });
  const { title, button, tone, label, demands } = FORMS[act];
  // What is shown beside is approved, and nothing else.
  const isSeen = evidence !== undefined && evidence.hash === version.hash && evidence.against.length === 0;
  const barred = act === 'approval' && !isSeen;
  return (
    <details className="act" open={act !== 'rejection' && act !== 'withdrawal'}>
      <summary>{title}</summary>
      <form
        className="stack"
        onInput={({ target }) => {
          if (target instanceof HTMLTextAreaElement) onWords(target.value);
        }}
        onSubmit={(event) => {
          event.preventDefault();
          step.run({ act, ...wishOf(act, new FormData(event.currentTarget), version, evidence) });
        }}
      >
        <TroubleNote trouble={step.trouble} />
        {act === 'proposal' ? <Days version={version} trouble={step.trouble} /> : null}
        {act === 'approval' ? <Against evidence={evidence?.hash === version.hash ? evidence : undefined} /> : null}
        {act === 'withdrawal' ? (
          <p className="quiet">What held on its days before holds again, from now on; decisions that were made stay.</p>
        ) : null}
        {label === '' ? null : (
          <TextBox
            id={`${act}-words`}
            name="words"
            label={label}
            value={words}
            trouble={step.trouble}
            required={demands}
            max={4000}
          />
        )}
        {act === 'approval' ? (
          <label className="pick">
            <input type="checkbox" name="publish" defaultChecked /> Put it on the calendar at once
          </label>
        ) : null}
        <button className={tone} disabled={step.running || barred}>
          {step.running ? 'Sending…' : button}
        </button>
      </form>
    </details>
  );
}

/** The days are part of what is approved, so they are set no later than with the proposal. */
function Days({
  version,
  trouble,
}: Pick<ActsProps, 'version'> & Pick<ReturnType<typeof useStep>, 'trouble'>): ReactNode {
  return (
    <div className="grid">
      <TextLine
        id="effective-from"
        name="effectiveFrom"
        type="date"
        label="To hold from"
        value={version.effectiveFrom}
        trouble={trouble}
        short
        required
      />
      <TextLine
        id="effective-to"
        name="effectiveTo"
        type="date"
        label="First day without it (if any)"
        value={version.effectiveTo ?? ''}
        trouble={trouble}
        short
      />
    </div>
  );
}

function Against({ evidence }: { readonly evidence: VersionEvidence | undefined }): ReactNode {
  if (evidence === undefined) return <p className="quiet">What has to be seen first is still on its way.</p>;
  if (evidence.against.length === 0)
    return (
      <p className="quiet">
        You approve exactly the content <span className="hash">{evidence.hash.slice(0, 16)}…</span> that is shown
        beside. If somebody changes it meanwhile, nothing is approved.
      </p>
    );
  return (
    <Note tone="warn" title="It cannot be approved yet.">
      <ul>
        {evidence.against.map((says) => (
          <li key={says}>{says}</li>
        ))}
      </ul>
    </Note>
  );
}

function wishOf(
  act: VersionAct,
  form: FormData,
  version: ReadVersion,
  evidence: VersionEvidence | undefined,
): { readonly body: object; readonly days?: { readonly effectiveFrom: string; readonly effectiveTo?: string } } {
  const text = (name: string): string => {
    const value = form.get(name);
    return typeof value === 'string' ? value.trim() : '';
  };
  const words = text('words') === '' ? {} : { words: text('words') };
  if (act === 'approval')
    return { body: { hash: evidence?.hash ?? version.hash, publish: form.get('publish') === 'on', ...words } };
  if (act !== 'proposal') return { body: words };
  const [from, to] = [text('effectiveFrom'), text('effectiveTo')];
  const changed = from !== version.effectiveFrom || to !== (version.effectiveTo ?? '');
  return {
    body: words,
    ...(changed ? { days: { effectiveFrom: from, ...(to === '' ? {} : { effectiveTo: to }) } } : {}),
  };
}
