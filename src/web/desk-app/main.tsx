import '@mantine/core/styles/baseline.css';
import '@mantine/core/styles/default-css-variables.css';
import '@mantine/core/styles/global.css';
import '@mantine/core/styles/ScrollArea.css';
import '@mantine/core/styles/UnstyledButton.css';
import '@mantine/core/styles/VisuallyHidden.css';
import '@mantine/core/styles/Paper.css';
import '@mantine/core/styles/Popover.css';
import '@mantine/core/styles/CloseButton.css';
import '@mantine/core/styles/Group.css';
import '@mantine/core/styles/Loader.css';
import '@mantine/core/styles/Overlay.css';
import '@mantine/core/styles/ModalBase.css';
import '@mantine/core/styles/Modal.css';
import '@mantine/core/styles/Input.css';
import '@mantine/core/styles/InlineInput.css';
import '@mantine/core/styles/Flex.css';
import '@mantine/core/styles/Button.css';
import '@mantine/core/styles/Combobox.css';
import '@mantine/core/styles/Tabs.css';
import '../assets/tokens.css';
import '../assets/base.css';
import '../assets/fields.css';
import '../assets/office.css';
import '../assets/media.css';
import './desk.css';
import { MantineProvider } from '@mantine/core';
import { QueryClient, QueryClientProvider } from '@tanstack/react-query';
import { RouterProvider } from '@tanstack/react-router';
import { createRoot } from 'react-dom/client';
import { Trouble } from './api/http.js';
import { router } from './routes.js';
import { theme } from './theme.js';

const queries = new QueryClient({
  defaultOptions: {
    queries: {
      staleTime: 15_000,
      // A refusal stays one; only a line that fails is worth a second try.
      retry: (times, trouble) =>
        times < 2 && trouble instanceof Trouble && (trouble.status === 0 || trouble.status >= 500),
    },
  },
});

// Browsers of the last year have it; for the others it is fetched first.
if (!('Temporal' in globalThis)) await import('temporal-polyfill/global');

const place = document.getElementById('desk');
if (place === null) throw new Error('the page has no place for the desk');
// The word that lets in style sheets written by ready-made parts; this is where the one that locks scrolling looks for it.
const nonce = place.dataset['nonce'] ?? '';
Object.assign(globalThis, { __webpack_nonce__: nonce });

createRoot(place).render(
  <MantineProvider theme={theme} defaultColorScheme="auto" getStyleNonce={() => nonce}>
    <QueryClientProvider client={queries}>
      <RouterProvider router={router} />
    </QueryClientProvider>
  </MantineProvider>,
);
