import type { AnswerValue, ChecklistItem } from '../../../inspections/inspections.contract.js';
import { say, unitWords } from '../../domain/walk-view.js';
import { useApp } from '../app-state.js';
import { sayer } from '../words/sayer.js';
import type { Inspection } from '../walk/inspection.js';
import { Counts } from './counts.js';
import { Box, Line } from './fields.js';
import { Scan } from './scan.js';

interface AnswersProps {
  readonly of: Inspection;
  readonly item: ChecklistItem;
  /** What is chosen or typed so far. */
  readonly value: AnswerValue | undefined;
  readonly onChange: (value: AnswerValue | undefined) => void;
  /** One tap that answers. */
  readonly onAnswer: (value: AnswerValue) => void;
}

/** Answers that go on with one tap, without a button to confirm. */
export function isOneTap({ answer }: ChecklistItem): boolean {
  return answer.type === 'yes-no' || (answer.type === 'choice' && answer.many !== true);
}

/** What can be answered, by the type of the item. Photos have a part of their own. */
export function Answers(props: AnswersProps) {
  const { item, value, onChange } = props;
  const { lang } = useApp();
  const ask = say(item.ask, lang);
  const text = typeof value === 'string' ? value : '';
  switch (item.answer.type) {
    case 'yes-no':
    case 'choice':
      return <Choices {...props} />;
    case 'count':
      return <Counts unit={props.of.unit} value={value} onChange={onChange} />;
    case 'number':
      return <NumberLine {...props} />;
    case 'scan':
      return (
        <Scan
          ask={ask}
          value={text}
          expected={item.answer.of === 'serial' ? props.of.unit.serial : undefined}
          onChange={onChange}
        />
      );
    case 'text':
      return <Box id="answer" label={ask} quiet value={text} max={item.answer.maxLength} rows={5} onType={onChange} />;
    case 'photo':
      return null;
  }
}

function Choices({ item, value, onChange, onAnswer }: AnswersProps) {
  const { lang } = useApp();
  const w = sayer(lang);
  const kind = item.answer;
  if (kind.type === 'yes-no') {
    return (
      <div class="answers two">
        {(['yes', 'no'] as const).map((word) => (
          <button key={word} aria-pressed={value === word} onClick={() => onAnswer(word)}>
            {w(word)}
          </button>
        ))}
      </div>
    );
  }
  if (kind.type !== 'choice') return null;
  const chosen = Array.isArray(value) ? (value as readonly string[]) : [];
  if (kind.many !== true) {
    return (
      <div class="answers">
        {kind.choices.map(({ id, says }) => (
          <button key={id} aria-pressed={chosen.includes(id)} onClick={() => onAnswer([id])}>
            {say(says, lang)}
          </button>
        ))}
      </div>
    );
  }
  const toggle = (id: string, on: boolean): void => {
    // "None of these" stands alone.
    const rest = id === NOTHING ? [] : chosen.filter((each) => each !== NOTHING && each !== id);
    const next = on ? [...rest, id] : chosen.filter((each) => each !== id);
    onChange(next.length === 0 ? undefined : next);
  };
  return (
    <fieldset>
      <legend class="away">{say(item.ask, lang)}</legend>
      <div class="answers">
        {kind.choices.map(({ id, says }) => (
          <label class="pick" key={id}>
            <input
              type="checkbox"
              value={id}
              checked={chosen.includes(id)}
              onChange={({ currentTarget }) => toggle(id, currentTarget.checked)}
            />
            {say(says, lang)}
          </label>
        ))}
      </div>
    </fieldset>
  );
}

const NOTHING = 'none';

/** Numbers as people type them on a phone: with a point or a comma. What is no number is kept as text, for the check to name. */
function NumberLine({ item, value, onChange }: AnswersProps) {
  const { lang } = useApp();
  const unit = item.answer.type === 'number' ? unitWords(item.answer.unit, lang) : '';
  const type = (text: string): void => {
    const plain = text.trim().replace(',', '.');
    onChange(plain === '' ? undefined : /^-?\d{1,9}(\.\d{1,6})?$/.test(plain) ? Number(plain) : text);
  };
  return (
    <div class="with-unit">
      <Line
        id="answer"
        label={`${say(item.ask, lang)} (${unit})`}
        quiet
        mode="decimal"
        value={typeof value === 'number' || typeof value === 'string' ? String(value) : ''}
        max={20}
        onType={type}
      />
      <span aria-hidden="true">{unit}</span>
    </div>
  );
}
