import type { ComponentChildren } from "preact";
import type { PanelReceiver } from "../api/pictures";

const radius = 88;

const turned = (degrees: number) => `rotate(${degrees.toFixed(1)})`;
const three = (degrees: number) => String(Math.round(degrees) % 360 || 360).padStart(3, "0");

function Face(props: { name: string; says: string; children: ComponentChildren }) {
  return (
    <figure class="instrument">
      <svg viewBox="-100 -100 200 200" role="img" aria-label={props.says}>
        <circle class="face" r={97} />
        {props.children}
      </svg>
      <figcaption>{props.name}</figcaption>
    </figure>
  );
}

/** Degrees round the edge, each thirtieth by its number without the last nought. */
function CompassCard() {
  return (
    <g class="card">
      {Array.from({ length: 72 }, (_, count) => (
        <line y1={-radius} y2={-radius + (count % 2 === 0 ? 10 : 6)} transform={turned(count * 5)} />
      ))}
      {Array.from({ length: 12 }, (_, count) => (
        <text y={-62} transform={turned(count * 30)} text-anchor="middle">
          {["N", "3", "6", "E", "12", "15", "S", "21", "24", "W", "30", "33"][count]}
        </text>
      ))}
    </g>
  );
}

const Lubber = () => <path class="lubber" d="M0,-84L-6,-97H6Z" />;

/** Five dots to each side: full scale is ten degrees of a VOR, and of a localizer its own width. */
function Dots(props: { reach: number }) {
  return (
    <g class="dots">
      {[-5, -4, -3, -2, -1, 1, 2, 3, 4, 5].map((dot) => (
        <circle cx={(dot / 5) * props.reach} r={2.1} />
      ))}
    </g>
  );
}

function Glideslope(props: { share: number | null; at: number }) {
  if (props.share === null) return null;
  return (
    <g class="glideslope" transform={`translate(${props.at} 0)`}>
      {[-40, -20, 20, 40].map((y) => (
        <circle cy={y} r={2.1} />
      ))}
      <path d="M0,-5L9,0L0,5L-9,0Z" transform={`translate(0 ${(-props.share * 40).toFixed(1)})`} />
    </g>
  );
}

const Flag = (props: { says: string; y: number }) => (
  <g class="flag" transform={`translate(0 ${props.y})`}>
    <rect x={-22} y={-10} width={44} height={20} />
    <text y={6} text-anchor="middle">
      {props.says}
    </text>
  </g>
);

const receiver_says = (receiver: PanelReceiver) =>
  `${receiver.name} on ${receiver.tuned || "nothing"}, course ${receiver.course_deg === null ? "none" : three(receiver.course_deg)}, ` +
  (receiver.deflection_share === null ? "flag out" : `needle ${receiver.deflection_share.toFixed(2)} of full scale, ${receiver.flag}`);

export function HorizontalSituation(props: { receiver: PanelReceiver; heading_deg: number }) {
  const { receiver, heading_deg } = props;
  const course = receiver.course_deg ?? heading_deg;
  const off = receiver.deflection_share === null;
  return (
    <Face name={receiver.name} says={receiver_says(receiver)}>
      <g transform={turned(-heading_deg)}>
        <CompassCard />
        <g transform={turned(course)}>
          <Dots reach={42} />
          <path class="course" d="M0,-54V-34M0,34V54M-6,-46L0,-55L6,-46" />
          {!off && <line class="needle" y1={-30} y2={30} transform={`translate(${((receiver.deflection_share ?? 0) * 42).toFixed(1)} 0)`} />}
          {!off && (receiver.flag === "to" || receiver.flag === "from") && <path class="to-from" d={receiver.flag === "to" ? "M14,-14L20,-26L26,-14Z" : "M14,14L20,26L26,14Z"} />}
        </g>
      </g>
      <Glideslope share={receiver.glideslope_share} at={-80} />
      <path class="aircraft" d="M0,-8V8M-9,0H9M-4,8H4" />
      <Lubber />
      {off && <Flag says="NAV" y={-30} />}
    </Face>
  );
}

export function CourseDeviation(props: { receiver: PanelReceiver }) {
  const { receiver } = props;
  const course = receiver.course_deg ?? 0;
  const off = receiver.deflection_share === null;
  return (
    <Face name={receiver.name} says={receiver_says(receiver)}>
      <g transform={turned(-course)}>
        <CompassCard />
      </g>
      <Lubber />
      <Dots reach={45} />
      {!off && <line class="needle" y1={-48} y2={48} transform={`translate(${((receiver.deflection_share ?? 0) * 45).toFixed(1)} 0)`} />}
      <Glideslope share={receiver.glideslope_share} at={-54} />
      {!off && (receiver.flag === "to" || receiver.flag === "from") && (
        <g class="to-from">
          <path d={receiver.flag === "to" ? "M17,-24L23,-35L29,-24Z" : "M17,24L23,35L29,24Z"} />
          <text x={23} y={receiver.flag === "to" ? -8 : 20} text-anchor="middle">
            {receiver.flag === "to" ? "TO" : "FR"}
          </text>
        </g>
      )}
      {off && <Flag says="NAV" y={26} />}
    </Face>
  );
}

export function BearingPointer(props: { name: string; station: string | null; relative_deg: number | null; card_deg: number }) {
  const { name, station, relative_deg, card_deg } = props;
  return (
    <Face name={name} says={`${name} on ${station || "nothing"}, ${relative_deg === null ? "no bearing" : `${three(relative_deg)} from the nose`}`}>
      <g transform={turned(-card_deg)}>
        <CompassCard />
      </g>
      <Lubber />
      <path class="pointer" d="M0,-54V-10M0,10V52M-7,-42L0,-55L7,-42M-6,58L0,50L6,58" transform={turned(relative_deg ?? 90)} />
      <circle class="hub" r={5} />
    </Face>
  );
}

export function Heading(props: { heading_deg: number }) {
  return (
    <Face name="Heading" says={`Heading ${three(props.heading_deg)}`}>
      <g transform={turned(-props.heading_deg)}>
        <CompassCard />
      </g>
      <Lubber />
      <path class="aircraft" d="M0,-30V22M-26,-2H26M-10,18H10" />
    </Face>
  );
}
