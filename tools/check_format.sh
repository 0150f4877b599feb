#!/usr/bin/env bash
# Says which of our C++ files are not as .clang-format has them; --write puts them right. Another version of
# clang-format than 16 would format otherwise, so it is refused.
set -euo pipefail
cd "$(dirname "$0")/.."

formatter=clang-format-16
if ! version=$("$formatter" --version 2>/dev/null); then
    echo "$formatter is not installed (packages.txt)" >&2
    exit 1
fi
if [[ $version != *"version 16."* ]]; then
    echo "clang-format 16 is needed, this is: $version" >&2
    exit 1
fi

mapfile -d '' files < <(find src tests bench tools -type f \( -name '*.cpp' -o -name '*.hpp' \) -print0 | sort -z)
if [[ ${1:-} == --write ]]; then
    "$formatter" -i "${files[@]}"
else
    "$formatter" --dry-run --Werror "${files[@]}"
    echo "format: ${#files[@]} files as .clang-format has them"
fi
