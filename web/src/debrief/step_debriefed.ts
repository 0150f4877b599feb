import type { DebriefDocument } from "../api/generated";
import { clock_of } from "../flight/clock";

export type StepDebriefed = DebriefDocument["steps"][number];

const side = (value: number, digits: number) => `${Math.abs(value).toFixed(digits)}${Math.abs(value) < 0.5 * 10 ** -digits ? "" : value < 0 ? " L" : " R"}`;

/** Miles to the side: L and R of the line. */
export const aside_says = (nm: number): string => side(nm, 1);
export const degrees_says = (deg: number): string => side(deg, 1);
/** A needle's share of full scale, in hundredths. */
export const needle_says = (share: number): string => side(share, 2);
/** With its sign: off the altitude meant. */
export const off_says = (ft: number): string => `${ft < 0 ? "-" : "+"}${Math.abs(Math.round(ft / 10) * 10)}`;

function joined({ side: held }: StepDebriefed): string[] {
  if (!held) return [];
  return [
    ...(held.established_after_s === null ? ["never established on its line"] : held.established_after_s > 0 ? [`established after ${clock_of(held.established_after_s)}`] : []),
    ...(held.overshot_nm >= 0.05 ? [`${held.overshot_nm.toFixed(1)} NM beyond the line on joining it`] : []),
  ];
}

function told({ fix, end }: StepDebriefed): string[] {
  const says: string[] = [];
  if (fix) says.push(`passed ${fix.missed_by_nm.toFixed(1)} NM away`);
  if (fix?.turned_after_s != null) says.push(`turn begun ${Math.abs(fix.turned_after_s).toFixed(0)} s ${fix.turned_after_s < 0 ? "before" : "after"}`);
  if (end?.shown_nm != null && end.meant_nm !== null) says.push(`DME ${end.aid?.ident ?? ""} ${end.shown_nm.toFixed(1)} for ${end.meant_nm.toFixed(1)}`);
  if (end?.off_deg != null) says.push(`${end.aid?.ident ?? ""} ${Math.abs(end.off_deg).toFixed(1)}° off`);
  if (end?.taken_s != null && end.meant_s !== null) says.push(`${clock_of(end.taken_s)} for ${clock_of(end.meant_s)}`);
  if (end?.shown_msl_ft != null && end.meant_msl_ft !== null) says.push(`${end.shown_msl_ft.toFixed(0)} ft for ${end.meant_msl_ft.toFixed(0)}`);
  return says;
}

function turned({ hold, reversal }: StepDebriefed): string[] {
  const says: string[] = [];
  if (hold) {
    const meant = hold.inbound_meant_s === null ? "" : ` for ${clock_of(hold.inbound_meant_s)}`;
    says.push(`${hold.circuits} ${hold.circuits === 1 ? "circuit" : "circuits"}`);
    if (hold.inbound_s.length > 0) says.push(`inbound ${hold.inbound_s.map(clock_of).join(", ")}${meant}`);
    if (hold.outside_protected_nm > 0) says.push(`${hold.outside_protected_nm.toFixed(1)} NM outside what is protected`);
  }
  if (reversal) says.push(`farthest ${reversal.farthest_nm.toFixed(1)} NM of ${reversal.within_nm.toFixed(0)}`);
  return says;
}

/** How it was joined, held and ended, in figures. */
export const how_flown = (step: StepDebriefed): string => [...joined(step), ...turned(step), ...told(step)].join("; ");
