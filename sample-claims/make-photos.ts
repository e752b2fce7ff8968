import { registerHooks } from 'node:module';

// Sources import each other as `.js`, as the compiled service does; run unbuilt, those names mean the `.ts` files.
registerHooks({
  resolve: (specifier, context, next) =>
    specifier.startsWith('.') && context.parentURL?.endsWith('.ts')
      ? next(specifier.replace(/\.js$/, '.ts'), context)
      : next(specifier, context),
});

const { makePhotos } = await import('./photo-studio/make.js');
await makePhotos(process.argv.slice(2));
