import type { RibbonDocument } from "../api/pictures";
import { guidance_line } from "../flight/guidance_line";
import type { Overlay } from "./overlay";

/** How the route is drawn, and what is laid over it. */
export function Legend(props: { ribbon: RibbonDocument | null; overlay: Overlay }) {
  const kinds = [...new Map((props.ribbon?.steps ?? []).map((step) => [guidance_line(step.guidance).says, guidance_line(step.guidance)])).values()];
  return (
    <ul class="legend" aria-label="How the route is drawn">
      {kinds.map((line) => (
        <li>
          <svg width="46" height="8" aria-hidden="true">
            <line class="route" x1="1" x2="45" y1="4" y2="4" stroke-dasharray={line.dashes.join(" ")} />
          </svg>
          {line.says}
        </li>
      ))}
      {(props.ribbon?.areas.length ?? 0) > 0 && (
        <li>
          <svg width="24" height="12" aria-hidden="true">
            <rect class="protected" x="1" y="1" width="22" height="10" />
          </svg>
          protected area
        </li>
      )}
      {props.overlay.lines.length > 0 && (
        <li>
          <svg width="46" height="8" aria-hidden="true">
            <path class="hollow" d="M1,2H45M1,6H45" />
          </svg>
          flown
        </li>
      )}
      {props.overlay.areas.map((area) => (
        <li>
          <svg width="24" height="12" aria-hidden="true">
            <rect class={`region ${area.within}`} x="1" y="1" width="22" height="10" />
          </svg>
          {area.within === "half" ? "here with 50 %" : "with 95 %"}
        </li>
      ))}
    </ul>
  );
}
