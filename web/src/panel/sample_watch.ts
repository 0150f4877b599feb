import { useEffect, useState } from "preact/hooks";
import type { PanelDocument, PanelSample } from "../api/pictures";
import { sample_at } from "../flight/along";
import type { Cursor } from "../flight/cursor";

/** The sample under the cursor; it changes no more than once a frame. */
export function useSample(panel: Pick<PanelDocument, "samples">, cursor: Cursor): PanelSample | undefined {
  const [sample, set_sample] = useState(() => sample_at(panel.samples, cursor.at_s));
  useEffect(() => cursor.watch((at_s) => set_sample(sample_at(panel.samples, at_s))), [panel, cursor]);
  return sample;
}
