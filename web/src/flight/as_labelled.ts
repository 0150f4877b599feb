import { groups } from "./constraints";
import { kinds_of_file } from "./given_files";

/** What stands for an option of the command on the page. The reasons that are listed with --why stand there unasked. */
const labels: ReadonlyMap<string, string> = new Map([
  ...groups.flatMap((group) => group.constraints).map(({ field, word, label }) => [field === "approach" ? "approach" : word, label] as const),
  ...kinds_of_file.map(({ option, label }) => [option, label] as const),
  ["wind", "Wind"],
  ["why", "Refused"],
]);

/** What the service says, which names the command's options, with the labels of the page: "--minimum FT gives one" as "“Minimum off airways, ft” gives one". */
export const as_labelled = (text: string): string =>
  text.replace(/(?<![\w-])--([a-z]+(?:-[a-z]+)*)(?: (?:FT|FILE|IDENT|XXX)\b)?/g, (option, name: string) => {
    const label = labels.get(name);
    return label === undefined ? option : `“${label}”`;
  });
