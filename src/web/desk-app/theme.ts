import { createTheme, Modal, type MantineColorsTuple } from '@mantine/core';

/** Steps of the one colour that means "go"; the seventh and third are the tokens of light and dark. */
const PINE: MantineColorsTuple = [
  '#dcebe5',
  '#c2ddd3',
  '#9fcabb',
  '#86d6c3',
  '#4f9c86',
  '#2f856e',
  '#146f5a',
  '#0a5548',
  '#07463b',
  '#04332b',
];

/** The look of ready-made parts, from the tokens that all doors share. */
export const theme = createTheme({
  primaryColor: 'pine',
  colors: { pine: PINE },
  primaryShade: { light: 7, dark: 3 },
  autoContrast: true,
  fontFamily: 'var(--type)',
  fontFamilyMonospace: 'var(--nums)',
  fontSizes: { xs: 'var(--f0)', sm: 'var(--f1)', md: 'var(--f1)', lg: 'var(--f2)', xl: 'var(--f3)' },
  defaultRadius: '8px',
  focusRing: 'auto',
  components: {
    Modal: Modal.extend({ defaultProps: { closeButtonProps: { 'aria-label': 'Close' }, centered: true } }),
  },
});
