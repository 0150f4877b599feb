/** What a text of 12 px takes at most in the faces the page asks for: an estimate, so that nothing has to be measured. */
export const text_px = (text: string): number => text.length * 6.6;

/** The longest beginning that fits, with an ellipsis where it is cut; empty where not even three letters would stand. */
export function fitted(text: string, width_px: number): string {
  if (text_px(text) <= width_px) return text;
  const letters = Math.floor(width_px / 6.6) - 1;
  return letters >= 3 ? `${text.slice(0, letters).trimEnd()}…` : "";
}

/** The first of several ways to say it that fits whole; empty where none does. */
export const first_fitting = (ways: readonly string[], width_px: number): string => ways.find((way) => text_px(way) <= width_px) ?? "";
