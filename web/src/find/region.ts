import type { FindDocument } from "../api/generated";
import type { Overlay } from "../chart/overlay";

/** Places that stand apart by letters; one alone needs none. */
export const letter_of = (index: number, places: number): string => (places > 1 ? String.fromCharCode(65 + index) : "");

export const percent_says = (share: number): string => `${Math.round(share * 100)} %`;

/** The region on the chart: where one is with 95 and with 50 %, and every place that stands apart. */
export function overlay_of(found: FindDocument): Overlay {
  const { places } = found;
  return {
    lines: [],
    areas: [
      ...(found.most ? [{ rings: found.most.rings, within: "most" as const }] : []),
      ...(found.half ? [{ rings: found.half.rings, within: "half" as const }] : []),
    ],
    marks: places.map(({ place, probability_share }, index) => ({ place, says: `${letter_of(index, places.length)} ${percent_says(probability_share)}`.trim() })),
  };
}
