// What a text of 12 px takes in the faces the page asks for (Liberation Sans and its like): estimated by the letter, so that nothing
// has to be measured and the page and the printed ribbon can break alike.

const narrow = /[ .,:;'!ijlItf()|/-]/;
const wide = /[A-Z%@MW]/;

export function text_px(text: string): number {
  let px = 0;
  for (const letter of text) px += narrow.test(letter) ? 4 : letter === "m" || letter === "M" || letter === "W" ? 10.5 : wide.test(letter) ? 8.4 : 6.8;
  return px;
}

/** The longest beginning that fits, with an ellipsis where it is cut; empty where not even three letters would stand. */
export function fitted(text: string, width_px: number): string {
  if (text_px(text) <= width_px) return text;
  for (let letters = text.length - 1; letters >= 3; --letters) {
    const cut = `${text.slice(0, letters).trimEnd()}…`;
    if (text_px(cut) + 6 <= width_px) return cut;
  }
  return "";
}

/** The first of several ways to say it that fits whole; empty where none does. */
export const first_fitting = (ways: readonly string[], width_px: number): string => ways.find((way) => text_px(way) <= width_px) ?? "";
