import { t } from "./language";

/** A text as it stands at the beginning of a sentence. */
export function sentence(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

/** A drawing as the address of a picture. */
export function picture(svg: string): string {
  return `data:image/svg+xml,${encodeURIComponent(svg)}`;
}

/** Where a fault is: file, line and field, as far as they are known. */
export function placeOf(fault: { file: string; line: number | null; field: string }): string {
  const line = fault.line === null ? "" : t("web-line", { line: String(fault.line) });
  return [fault.file, line, fault.field].filter((part) => part !== "").join(", ");
}
