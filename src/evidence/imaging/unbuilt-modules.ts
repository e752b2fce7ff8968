/** Unbuilt source names its imports by their built `.js` names; this lets Node find the `.ts` beside them. */
const FIND_TS = `data:text/javascript,${encodeURIComponent(`
  import { registerHooks } from 'node:module';
  registerHooks({
    resolve(specifier, context, nextResolve) {
      try {
        return nextResolve(specifier, context);
      } catch (error) {
        if (!/^\\.{1,2}\\/.*\\.js$/.test(specifier)) throw error;
        return nextResolve(specifier.slice(0, -3) + '.ts', context);
      }
    },
  });
`)}`;

/** Arguments that let Node run a module of this project unbuilt, as tests do; none for a built one. */
export function nodeArgumentsFor(entry: URL): readonly string[] {
  return entry.pathname.endsWith('.ts') ? ['--import', FIND_TS] : [];
}

/** The module of that name beside another one: .js when built, .ts when the source itself runs. */
export function siblingModule(name: string, besideUrl: string): URL {
  return new URL(`./${name}.${besideUrl.endsWith('.ts') ? 'ts' : 'js'}`, besideUrl);
}
