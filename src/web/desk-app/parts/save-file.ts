/** Hands a text to the person as a file to keep. @param name with its ending @param type e.g. `text/csv` */
export function saveFile(name: string, type: string, text: string): void {
  const address = URL.createObjectURL(new Blob([text], { type: `${type};charset=utf-8` }));
  const link = document.createElement('a');
  [link.href, link.download] = [address, name];
  link.click();
  // The browser has taken the bytes once the click is over.
  setTimeout(() => URL.revokeObjectURL(address), 0);
}
