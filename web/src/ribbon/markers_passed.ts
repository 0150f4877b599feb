import type { PanelSample } from "../api/pictures";

/** A marker beacon that the flight passes over with its lamp lit: the middle of the samples that show it. */
export interface MarkerPassed {
  readonly letter: string;
  readonly at_nm: number;
  readonly at_s: number;
  readonly altitude_msl_ft: number;
}

type Lit = NonNullable<NonNullable<PanelSample["marker"]>["lit"]>;
/** As on the lamps of the panel. */
const letters: Readonly<Record<Lit, string>> = { outer: "O", middle: "M", inner: "I", back_course: "I" };

const of = (sample: PanelSample | undefined): string => (sample?.marker?.lit ? `${sample.marker.lit} ${sample.marker.localizer}` : "");

export function markers_passed(samples: readonly PanelSample[]): MarkerPassed[] {
  const passed: MarkerPassed[] = [];
  let first = 0;
  samples.forEach((sample, index) => {
    if (of(sample) !== of(samples[index - 1])) first = index;
    if (!sample.marker?.lit || of(sample) === of(samples[index + 1])) return;
    const { at_nm, at_s, altitude_msl_ft } = samples[(first + index) >> 1]!;
    passed.push({ letter: letters[sample.marker.lit], at_nm, at_s, altitude_msl_ft });
  });
  return passed;
}
