import { useEffect, useRef, useState } from 'react';
import type { PolicyDocument, PolicyFault } from '../../../../policies/policies.contract.js';
import type { Answers, Examined, Question } from './checker.js';
import type { Asked } from './checker-worker.js';

/** A worker that answers questions one after the other; a page that is left takes it along. */
class Checker {
  private worker: Worker | undefined;
  private ready = false;
  private n = 0;
  private readonly waiting = new Map<number, (answer: unknown) => void>();
  private unsent: Asked[] = [];

  async ask<Kind extends Question['kind']>(question: Question & { readonly kind: Kind }): Promise<Answers[Kind]> {
    this.n += 1;
    const asked = { n: this.n, question };
    const answer = new Promise<unknown>((resolve, reject) => {
      this.waiting.set(asked.n, (message) => {
        const { answer: of, trouble } = message as { readonly answer?: unknown; readonly trouble?: string };
        if (trouble === undefined) resolve(of);
        else reject(new Error(trouble));
      });
    });
    this.send(asked);
    // The worker answers with what the kind of question asks for.
    return (await answer) as Answers[Kind];
  }

  close(): void {
    this.worker?.terminate();
    this.worker = undefined;
    this.ready = false;
    this.waiting.clear();
    this.unsent = [];
  }

  private send(asked: Asked): void {
    this.worker ??= this.begin();
    // A worker that is still loading its rules hears nothing.
    if (this.ready) tell(this.worker, asked);
    else this.unsent.push(asked);
  }

  private begin(): Worker {
    const worker = new Worker(new URL('checker-worker.ts', import.meta.url), { type: 'module' });
    worker.addEventListener('message', ({ data }: MessageEvent<{ readonly ready?: true; readonly n?: number }>) => {
      if (data.ready === true) {
        this.ready = true;
        for (const asked of this.unsent.splice(0)) tell(worker, asked);
        return;
      }
      const heard = this.waiting.get(data.n ?? 0);
      this.waiting.delete(data.n ?? 0);
      heard?.(data);
    });
    return worker;
  }
}

function tell(worker: Worker, asked: Asked): void {
  // Workers have no origin to name: what they are sent goes nowhere else.
  worker.postMessage(asked, []);
}

function useWorker(): Checker {
  const kept = useRef<Checker>(undefined);
  kept.current ??= new Checker();
  const checker = kept.current;
  useEffect(() => () => checker.close(), [checker]);
  return checker;
}

export interface Checked {
  /** Why the document cannot run, and where; undefined until it was looked at the first time. */
  readonly faults: readonly PolicyFault[] | undefined;
  /** Of the last document that could run. */
  readonly examined: Examined | undefined;
  /** Whether what is shown is of an older document. */
  readonly behind: boolean;
  /** What is wrong with a document that is only being thought of, e.g. with a cell as it stands while it is typed. */
  readonly faultsOf: (document: PolicyDocument) => Promise<readonly PolicyFault[]>;
}

/** How long nothing must be typed before all of it is looked at, in ms; reading cells again is quick and does not wait. */
const QUIET = 250;

/** Looks at a document each time it changes: at once whether its cells can be read, and a moment later at everything. */
export function useChecker(document: PolicyDocument): Checked {
  const quick = useWorker();
  const thorough = useWorker();
  const [faults, setFaults] = useState<{ readonly of: PolicyDocument; readonly list: readonly PolicyFault[] }>();
  const [examined, setExamined] = useState<{ readonly of: PolicyDocument; readonly is: Examined | undefined }>();
  useEffect(() => {
    let old = false;
    const look = async (): Promise<void> => {
      const list = await quick.ask({ kind: 'faults', document });
      if (!old) setFaults({ of: document, list });
    };
    const examine = async (): Promise<void> => {
      const is = await thorough.ask({ kind: 'examination', document });
      if (!old) setExamined((was) => ({ of: document, is: is ?? was?.is }));
    };
    void look();
    const later = setTimeout(() => void examine(), QUIET);
    return () => {
      old = true;
      clearTimeout(later);
    };
  }, [document, quick, thorough]);
  return {
    faults: faults?.list,
    examined: examined?.is,
    behind: examined?.of !== document,
    faultsOf: (thought) => quick.ask({ kind: 'faults', document: thought }),
  };
}

/** Runs one case each time something of it changes. @returns undefined until the first answer */
export function useTried(question: Extract<Question, { readonly kind: 'case' }>): Answers['case'] | undefined {
  const checker = useWorker();
  const [tried, setTried] = useState<Answers['case']>();
  const asked = JSON.stringify([question.on, question.facts, question.decisions, question.rule]);
  useEffect(() => {
    let old = false;
    const run = async (): Promise<void> => {
      const answer = await checker.ask(question);
      if (!old) setTried(answer);
    };
    void run();
    return () => {
      old = true;
    };
    // The question is made anew at every turn; what it asks stands in its text, and the document is the same thing while it is the same.
  }, [asked, question.document, checker]);
  return tried;
}
