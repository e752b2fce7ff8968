/** Reads one code off a frame; undefined where there is none. */
export type Reader = (frame: HTMLVideoElement) => Promise<string | undefined>;

const FORMATS = ['code_128', 'code_39', 'data_matrix', 'ean_13', 'itf', 'qr_code', 'upc_a'];

interface Detector {
  detect(frame: HTMLVideoElement): Promise<readonly { readonly rawValue: string }[]>;
}
type DetectorKind = (new (options: { readonly formats: readonly string[] }) => Detector) & {
  getSupportedFormats(): Promise<readonly string[]>;
};

/** The phone's own reader where it has one, else ours, which is fetched when it is first needed and kept for work without a signal. */
export async function openReader(): Promise<Reader> {
  const Kind = (globalThis as { BarcodeDetector?: DetectorKind }).BarcodeDetector;
  const supported = (await Kind?.getSupportedFormats().catch(() => [])) ?? [];
  const formats = FORMATS.filter((format) => supported.includes(format));
  if (Kind === undefined || formats.length === 0) return (await import('./reader.js')).ownReader();
  const detector = new Kind({ formats });
  return async (frame) => (await detector.detect(frame))[0]?.rawValue;
}

/** Fetches our reader ahead of need, where the phone has none and the person does not save data. */
export async function readyReader(): Promise<void> {
  const saving = (navigator as { connection?: { saveData?: boolean } }).connection?.saveData === true;
  if (saving || 'BarcodeDetector' in globalThis) return;
  await import('./reader.js').then(({ warm }) => warm());
}
