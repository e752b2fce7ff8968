import type { Element } from '@xmldom/xmldom';
import { FeelFunction, isContext, type FeelValue } from '../domain/feel/kinds.js';
import { PROPERTIES } from '../domain/feel/properties.js';
import { argumentsByName } from '../domain/run-functions.js';
import type { WideLookup } from '../domain/runs.js';
import { boxedBelow, boxedFunction, type Boxed, type ModelNames } from './boxed.js';
import { attribute, child, children, namesBelow, rootOf } from './elements.js';
import { ItemTypes } from './item-types.js';

/** Functions that read a clock; whoever runs a model gives them. */
export type ClockFunctions = ReadonlyMap<string, FeelValue>;

interface Ready {
  readonly run: Boxed;
  readonly type: string | undefined;
}

/** A decision model ready to run: its decisions by name, what they call, and the types of its inputs. */
export class DecisionModel {
  private readonly definitions: Element;
  private readonly types: ItemTypes;
  private readonly decisions = new Map<string, Ready>();
  private readonly functions = new Map<string, (lookup: WideLookup, override: Override) => FeelValue>();
  private readonly inputTypes = new Map<string, string | undefined>();
  private readonly byId = new Map<string, string>();

  /** @throws ParseError or Error on a text that is no decision model */
  constructor(
    text: string,
    private readonly clock: ClockFunctions,
  ) {
    this.definitions = rootOf(text);
    this.types = new ItemTypes(this.definitions);
    const model = this.modelNames();
    const inReach = (element: Element): ModelNames => ({
      ...model,
      names: new Set([...this.required(element), ...this.clock.keys()]),
    });
    for (const input of children(this.definitions, 'inputData'))
      this.inputTypes.set(nameOf(input), variableType(input));
    for (const decision of children(this.definitions, 'decision')) {
      this.decisions.set(nameOf(decision), {
        run: boxedBelow(decision, inReach(decision)),
        type: variableType(decision),
      });
    }
    for (const knowledge of children(this.definitions, 'businessKnowledgeModel')) {
      const logic = child(knowledge, 'encapsulatedLogic');
      const run = logic ? boxedFunction(logic, inReach(knowledge)) : () => null;
      this.functions.set(nameOf(knowledge), (lookup) => run(lookup));
    }
    for (const service of children(this.definitions, 'decisionService')) this.addService(service);
  }

  /** Value of a decision for some inputs. Null where it has none, or where there is no such decision. */
  evaluate(name: string, inputs: ReadonlyMap<string, FeelValue>): FeelValue {
    const typed = new Map(Array.from(inputs, ([key, value]) => [key, this.types.fit(value, this.inputTypes.get(key))]));
    return new Evaluation(this, typed).value(name);
  }

  /** Value of an output decision of a decision service that is called with some inputs; null where it is not called rightly. */
  evaluateService(service: string, output: string, inputs: ReadonlyMap<string, FeelValue>): FeelValue {
    const called = new Evaluation(this, new Map()).value(service);
    if (!(called instanceof FeelFunction)) return null;
    const result = called.call([...inputs.values()], [...inputs.keys()]);
    return isContext(result) && result.has(output) ? (result.get(output) ?? null) : result;
  }

  /** What a name means in one evaluation. */
  valueOf(name: string, evaluation: Evaluation): FeelValue {
    const decision = this.decisions.get(name);
    if (decision) return this.types.fit(decision.run(evaluation.lookup), decision.type);
    const make = this.functions.get(name);
    if (make)
      return make(evaluation.lookup, (values) => new Evaluation(this, new Map([...evaluation.given, ...values])));
    return this.clock.get(name) ?? null;
  }

  private modelNames(): ModelNames {
    const parts = ['inputData', 'decision', 'businessKnowledgeModel', 'decisionService'];
    const elements = parts.flatMap((part) => children(this.definitions, part));
    for (const element of elements) this.byId.set(attribute(element, 'id') ?? '', nameOf(element));
    return {
      names: new Set(),
      properties: new Set([...PROPERTIES, ...namesBelow(this.definitions)]),
      types: this.types,
    };
  }

  /** Names that a decision or a function may use: those of what it says it requires. */
  private required(element: Element): string[] {
    const requirements = ['informationRequirement', 'knowledgeRequirement'].flatMap((part) => children(element, part));
    return requirements.flatMap((requirement) =>
      ['requiredInput', 'requiredDecision', 'requiredKnowledge'].flatMap((part) =>
        children(requirement, part).map((ref) => this.referred(ref)),
      ),
    );
  }

  private referred(reference: Element): string {
    return this.byId.get((attribute(reference, 'href') ?? '').replace(/^.*#/, '')) ?? '';
  }

  /** A decision service is a function of its inputs; decisions among them are given and not worked out. */
  private addService(service: Element): void {
    const referred = (part: string): string[] => children(service, part).map((reference) => this.referred(reference));
    const names = [...referred('inputData'), ...referred('inputDecision')];
    const outputs = referred('outputDecision');
    const type = variableType(service);
    this.functions.set(
      nameOf(service),
      (_, override) =>
        new FeelFunction(names, (args, given) => {
          const values = argumentsByName(names, args, given);
          if (!values) return null;
          const inside = override(new Map(names.map((name, i) => [name, this.fitNamed(name, values[i] ?? null)])));
          const [first = ''] = outputs;
          const result =
            outputs.length === 1
              ? inside.value(first)
              : new Map(outputs.map((output) => [output, inside.value(output)]));
          return this.types.fit(result, type);
        }),
    );
  }

  private fitNamed(name: string, value: FeelValue): FeelValue {
    return this.types.fit(value, this.inputTypes.get(name) ?? this.decisions.get(name)?.type);
  }
}

type Override = (values: ReadonlyMap<string, FeelValue>) => Evaluation;

/** One run of a model: what was given, and what has been worked out. A decision that needs itself is null. */
class Evaluation {
  private readonly known: Map<string, FeelValue>;

  constructor(
    private readonly model: DecisionModel,
    readonly given: ReadonlyMap<string, FeelValue>,
  ) {
    this.known = new Map(given);
  }

  readonly lookup: WideLookup = (name) => this.value(name);

  value(name: string): FeelValue {
    const before = this.known.get(name);
    if (before !== undefined) return before;
    this.known.set(name, null);
    const value = this.model.valueOf(name, this);
    this.known.set(name, value);
    return value;
  }
}

function nameOf(element: Element): string {
  return (attribute(element, 'name') ?? '').replace(/\s+/g, ' ').trim();
}

function variableType(element: Element): string | undefined {
  const variable = child(element, 'variable');
  return variable && attribute(variable, 'typeRef');
}
