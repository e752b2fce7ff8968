import { useState, type ReactNode } from 'react';
import { compileModel, type EvidenceModel } from '../../../diagnosis/diagnosis.contract.js';
import { signWeights, type SignWeight } from '../../../diagnosis/study.contract.js';
import { sentenceCase } from '../../domain/trade-words.js';
import type { ModelSearch } from './model-page.js';
import { Weight } from './weights.js';

/** How many signs are shown for and against. */
const STRONGEST = 6;

interface SpeaksForProps {
  readonly model: EvidenceModel;
  readonly explanation: string;
  readonly subject: string;
  readonly go: (search: ModelSearch) => void;
}

/** Which signs speak most for an explanation and most against it; worked out when it is opened. */
export function SpeaksFor(props: SpeaksForProps): ReactNode {
  const [open, setOpen] = useState(false);
  return (
    <details className="words" open={open} onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>What speaks for it and against it</summary>
      {open ? <Strongest {...props} /> : null}
    </details>
  );
}

interface Line {
  readonly id: string;
  readonly says: string;
  readonly sighting: 'seen' | 'not there';
  readonly decibans: number;
}

function Strongest({ model, explanation, subject, go }: SpeaksForProps): ReactNode {
  const lines = linesOf(model, explanation, subject);
  const most = lines.toSorted((a, b) => b.decibans - a.decibans);
  const shown = [...most.slice(0, STRONGEST), ...most.slice(-STRONGEST)].filter(
    (line, index, all) => all.indexOf(line) === index && Math.abs(line.decibans) >= 1,
  );
  if (shown.length === 0)
    return <p className="small">No sign says much of it by itself, or it was only just added and has faults.</p>;
  return (
    <table>
      <caption>By the priors alone; 3 decibans double the odds, 10 make them tenfold.</caption>
      <thead>
        <tr>
          <th scope="col">Sign</th>
          <th scope="col">Weight for it</th>
        </tr>
      </thead>
      <tbody>
        {shown.map(({ id, says, sighting, decibans }) => (
          <tr key={`${id} ${sighting}`}>
            <td>
              <button type="button" className="linklike" onClick={() => go({ part: 'signs', sign: id, find: '' })}>
                {sentenceCase(says)}
              </button>
              <span className="sub">
                {sighting === 'seen' ? 'where it is seen' : 'where it was looked for and is not there'}
              </span>
            </td>
            <td>
              <Weight decibans={decibans} />
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

function linesOf(model: EvidenceModel, explanation: string, subject: string): Line[] {
  if (!model.explanations.some(({ id, subject: of }) => id === explanation && of === subject)) return [];
  const ready = compileModel(model);
  return model.observations.flatMap(({ id, says }): Line[] => {
    const weight: SignWeight | undefined = signWeights(ready, subject, id).find(
      (one) => one.explanation.id === explanation,
    );
    if (weight === undefined) return [];
    return [
      { id, says, sighting: 'seen', decibans: weight.present },
      { id, says, sighting: 'not there', decibans: weight.absent },
    ];
  });
}
