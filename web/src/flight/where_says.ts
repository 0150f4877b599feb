import { groups } from "./constraints";

/** What the service calls the texts that are sent to it. */
const texts: Readonly<Record<string, string>> = { aircraft: "aircraft file", minima: "minima", winds_bulletin: "bulletin of winds", track: "track", errors: "errors" };

/** Where a fault is, in the words of the page: the line of a file, or the field of the form; empty where that tells nothing. */
export function where_says(where: string): string {
  const line = /^\/?([a-z_]+)(?:\.toml)?:(\d+)(?::(\d+))?/.exec(where);
  if (line) return `${texts[line[1]!] ?? line[1]}, line ${line[2]}${line[3] ? `, column ${line[3]}` : ""}`;
  const field = /^\/([a-z_]+)/.exec(where)?.[1];
  return groups.flatMap((group) => group.constraints).find((constraint) => constraint.field === field)?.label ?? "";
}
