/** A text as it stands at the beginning of a sentence. */
export function sentence(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

/** A drawing as the address of a picture. */
export function picture(svg: string): string {
  return `data:image/svg+xml,${encodeURIComponent(svg)}`;
}
