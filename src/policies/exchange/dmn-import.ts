import type { Element } from '@xmldom/xmldom';
import type {
  ClockRule,
  FactType,
  Parameter,
  PolicyDecision,
  PolicyDocument,
  PolicyExample,
} from '../policies.contract.js';
import { TableReader } from './dmn-import-table.js';
import { DmnSource, own, ownElements, type DmnFault } from './dmn-source.js';
import { DmnTypes } from './dmn-types.js';

/** What a policy says of itself and a file of another program does not. */
export type PolicyHead = Pick<
  PolicyDocument,
  'id' | 'title' | 'jurisdiction' | 'caution' | 'governedBy' | 'zone' | 'money'
>;

export type DmnImport =
  | { readonly ok: true; readonly document: PolicyDocument; readonly notices: readonly string[] }
  | { readonly ok: false; readonly faults: readonly DmnFault[] };

/** What stands in a model and decides nothing: left out, and said so. */
const MARGINALIA: readonly string[] = [
  'description',
  'DMNDI',
  'textAnnotation',
  'association',
  'group',
  'knowledgeSource',
  'authorityRequirement',
  'question',
  'allowedAnswers',
  'performanceIndicator',
  'organizationUnit',
  'elementCollection',
];

/**
 * Reads a decision model (DMN 1.2 to 1.5 XML) as a policy document. Whatever cannot be run as a policy is refused with its
 * place and reason; what decides nothing (diagrams, remarks, parts of other programs) is left out with a notice. The document
 * still has to be compiled, which checks names, types and every cell.
 * @param head what to take for a file that says nothing of it; a file of ours says everything itself
 */
export function fromDmn(text: string, head: Partial<PolicyHead> = {}): DmnImport {
  const source = new DmnSource(text);
  const root = source.root();
  const document = root && new Import(source, root, head).run();
  return document && source.faults.length === 0
    ? { ok: true, document, notices: source.notices }
    : { ok: false, faults: source.faults };
}

class Import {
  private readonly types: DmnTypes;
  private readonly children: Element[];

  constructor(
    private readonly source: DmnSource,
    private readonly root: Element,
    private readonly given: Partial<PolicyHead>,
  ) {
    this.types = new DmnTypes(source);
    this.children = source.children(root);
  }

  run(): PolicyDocument | undefined {
    for (const child of this.children) this.look(child);
    const facts = Object.fromEntries(this.named('inputData').flatMap((input) => this.fact(input)));
    const all = this.ordered(this.named('decision'));
    const parameters = all.filter((element) => own(element, 'parameter') !== undefined);
    const decided = all.filter((e) => own(e, 'parameter') === undefined && own(e, 'outcomeOf') === undefined);
    const decisions = decided.flatMap((element) => this.decision(element));
    if (decided.length === 0) this.source.refuse(this.root, 'The file holds no decision.');
    const policy = ownElements(this.root, 'policy')[0];
    const head = this.head(policy, facts);
    if (!head || this.source.faults.length > 0) return undefined;
    const clocks = policy ? this.json<ClockRule>(policy, 'clock') : [];
    return {
      format: 'policy/1',
      ...head,
      facts,
      parameters: Object.fromEntries(
        parameters.map((element) => [element.getAttribute('name') ?? '', parameterOf(element)]),
      ),
      decisions,
      ...(clocks.length > 0 ? { clocks } : {}),
      examples: policy ? this.json<PolicyExample>(policy, 'example') : [],
    };
  }

  private named(name: string): Element[] {
    return this.children.filter(({ localName }) => localName === name);
  }

  private look(child: Element): void {
    const name = child.localName ?? '';
    if (name === 'itemDefinition') this.types.add(child);
    else if (MARGINALIA.includes(name)) this.source.notice(child, `"${name}" was left out; it decides nothing.`);
    else if (!['extensionElements', 'inputData', 'decision'].includes(name))
      this.source.refuse(
        child,
        `"${name}" is not taken over: a policy is made of facts, parameters, tables and expressions.`,
      );
  }

  private fact(input: Element): [string, FactType][] {
    const name = input.getAttribute('name') ?? '';
    const variable = this.source.children(input).find(({ localName }) => localName === 'variable');
    const type = this.types.resolve(variable?.getAttribute('typeRef') ?? null, variable ?? input);
    return type ? [[name, type]] : [];
  }

  private decision(element: Element): PolicyDecision[] {
    const name = element.getAttribute('name') ?? '';
    const children = this.source.children(element);
    const bodies = children.filter((child) => !this.aside(child));
    const typeRef = children.find(({ localName }) => localName === 'variable')?.getAttribute('typeRef') ?? null;
    const [body] = bodies;
    const title = own(element, 'title');
    const head = { id: own(element, 'id') ?? name, ...(title === undefined ? {} : { title }) };
    if (body?.localName === 'decisionTable' && bodies.length === 1) {
      const read = new TableReader(this.source, this.types, { name, typeRef }).read(body);
      return read ? [{ ...head, gives: read.gives, table: read.table }] : [];
    }
    if (body?.localName === 'literalExpression' && bodies.length === 1) {
      const type = this.types.resolve(typeRef, element);
      const expression = this.source.textOf(body);
      if (expression === undefined) this.source.refuse(body, `The decision "${name}" says nothing.`);
      return type && expression !== undefined ? [{ ...head, gives: { [name]: type }, expression }] : [];
    }
    const said = body ? `is "${bodies.map(({ localName }) => localName).join('", "')}"` : 'has no logic';
    this.source.refuse(
      body ?? element,
      `The decision "${name}" ${said}; a policy runs decision tables and expressions.`,
    );
    return [];
  }

  /** True for parts of a decision that are not its logic. Functions from elsewhere are refused: they would have to be run. */
  private aside(child: Element): boolean {
    const name = child.localName ?? '';
    if (name === 'knowledgeRequirement')
      this.source.refuse(
        child,
        'This decision calls a function kept elsewhere; write what it does into the table or expression.',
      );
    else if (MARGINALIA.includes(name)) this.source.notice(child, `"${name}" was left out; it decides nothing.`);
    return (
      MARGINALIA.includes(name) ||
      ['variable', 'extensionElements', 'informationRequirement', 'knowledgeRequirement'].includes(name)
    );
  }

  /** Decisions so that each stands after those it reads; otherwise in the order of the file. */
  private ordered(decisions: readonly Element[]): Element[] {
    const byId = new Map(decisions.map((element) => [element.getAttribute('id') ?? '', element]));
    const state = new Map<Element, 'open' | 'done'>();
    const result: Element[] = [];
    const visit = (element: Element): void => {
      if (state.get(element) === 'done') return;
      if (state.get(element) === 'open') {
        this.source.refuse(
          element,
          `The decision "${element.getAttribute('name') ?? ''}" reads itself, through others or directly.`,
        );
        return;
      }
      state.set(element, 'open');
      for (const href of this.reads(element)) {
        const needed = byId.get(href.slice(1));
        if (needed) visit(needed);
        else if (!href.startsWith('#'))
          this.source.refuse(element, `This decision reads "${href}", which is in another file; put both into one.`);
      }
      state.set(element, 'done');
      result.push(element);
    };
    for (const element of decisions) visit(element);
    return result;
  }

  private reads(element: Element): string[] {
    return this.source
      .children(element)
      .filter(({ localName }) => localName === 'informationRequirement')
      .flatMap((requirement) => this.source.children(requirement))
      .map((required) => required.getAttribute('href') ?? '');
  }

  private head(
    policy: Element | undefined,
    facts: Readonly<Record<string, FactType>>,
  ): (PolicyHead & { version?: number }) | undefined {
    const written = policy ? headOf(policy) : {};
    const dated = Object.entries(facts).find(([, { type }]) => type === 'date')?.[0];
    const { given } = this;
    const title = this.root.getAttribute('name') ?? '';
    const head = {
      id: title
        .toLowerCase()
        .replaceAll(/[^a-z0-9]+/g, '-')
        .replaceAll(/^-|-$/g, ''),
      title,
      ...(dated === undefined ? {} : { governedBy: dated }),
      ...given,
      ...written,
    };
    const missing = (['id', 'title', 'jurisdiction', 'caution', 'governedBy', 'zone', 'money'] as const).filter(
      (key) => head[key as keyof typeof head] === undefined || head[key as keyof typeof head] === '',
    );
    if (missing.length > 0) {
      this.source.refuse(this.root, `The file does not say, and nobody said for it: ${missing.join(', ')}.`);
      return undefined;
    }
    // Safe: every key of a head has just been seen to be there.
    return head as PolicyHead;
  }

  private json<T>(policy: Element, name: string): T[] {
    return [...policy.childNodes].flatMap((node) => {
      if (node.nodeType !== 1 || (node as Element).localName !== name) return [];
      try {
        // Its shape is checked when the document is compiled.
        return [JSON.parse(node.textContent ?? '') as T];
      } catch {
        this.source.refuse(node as Element, `This ${name} is not readable; it holds broken JSON.`);
        return [];
      }
    });
  }
}

function headOf(policy: Element): Partial<PolicyHead> & { version?: number } {
  const at = (name: string): string => policy.getAttribute(name) ?? '';
  const version = policy.getAttribute('version');
  return {
    id: at('id'),
    ...(version === null ? {} : { version: Number(version) }),
    jurisdiction: at('jurisdiction'),
    caution: at('caution'),
    governedBy: at('governedBy'),
    zone: at('zone'),
    money: {
      currency: at('currency'),
      scale: Number(at('scale')),
      rounding: at('rounding') as PolicyDocument['money']['rounding'],
    },
  };
}

function parameterOf(element: Element): Parameter {
  const type = own(element, 'parameter') === 'integer' ? 'integer' : 'decimal';
  const unit = own(element, 'unit');
  const values = ownElements(element, 'value').map((value) => {
    const text = value.getAttribute('value') ?? '';
    const because = value.getAttribute('because');
    const source = value.getAttribute('source');
    return {
      from: value.getAttribute('from') ?? '',
      value: type === 'integer' ? Number(text) : text,
      ...(because === null ? {} : { because }),
      ...(source === null ? {} : { source }),
    };
  });
  return { type, ...(unit === undefined ? {} : { unit }), values };
}
