import type { VNode } from 'preact';
import type { VisitFacts } from '../../inspections/inspections.contract.js';
import { crewWord, type Lang } from '../domain/crew-words.js';
import { showWindow } from '../domain/time-words.js';
import { CrewFrame } from './crew-frame.js';

/** The visits that somebody with an account may open, the newest window first. */
export function CrewVisits({ visits, lang }: { readonly visits: readonly VisitFacts[]; readonly lang: Lang }): VNode {
  return (
    <CrewFrame title={crewWord(lang, 'visits')} lang={lang} here="/crew">
      <div class="stack">
        <h1>{crewWord(lang, 'visits')}</h1>
        {visits.length === 0 ? <p>{crewWord(lang, 'noVisits')}</p> : null}
        <ul class="plain checks">
          {visits.map((visit) => (
            <li>
              <a href={`/crew/visits/${visit.id}`}>
                <span>{[...visit.address.lines, visit.address.place].join(', ')}</span>
                <span class="said">{showWindow(visit.windowFrom, visit.windowTo, visit.zone)}</span>
              </a>
            </li>
          ))}
        </ul>
      </div>
    </CrewFrame>
  );
}
