#!/usr/bin/env bash
# Runs a command of the page's build with a Node that is fit for it: tools/node.sh npm ci --ignore-scripts
#
# Where the machine has Node 20.19 or later with npm, that one. Else (Debian 12 packages 18) the npm registry's package of Node's own
# program and npm itself are taken into build/node, once, each held against the checksum below. Needs python3 for that.
set -euo pipefail
root=$(cd "$(dirname "$0")/.." && pwd)

registry=https://registry.npmjs.org
node_version=22.23.3
npm_version=11.19.1
# SHA-512 in base64, as the registry's "integrity" has it.
declare -A node_sums=(
    [x86_64]="x64 qHnz5tFsHoj/WM+uRENVjWONi5hVvmwrgq8A4V76KpuVNAc4+jwK8x4gwbobE9BtHNg/AKR2583eYorLF/c7ng=="
    [aarch64]="arm64 l3DAHZreylo+p9QXDtsOrjG2JXJqVzYXnAGmIQNOUNARcMppTO2cmewVQP+36tjJnSE+dzpMNtgW+c3oiDvXtA=="
)
npm_sum="ztsxKxt/kkIaAs+2i0GU6I+DRmUdrNasxTZKJe9TCdSjKxlhah/4r/hl5ygMD6XAg1qZ9c2TNomR4qgOydp10g=="

is_fit() {
    command -v node >/dev/null && command -v npm >/dev/null &&
        node -e 'const [major, minor] = process.versions.node.split(".").map(Number);
                 process.exit(major > 20 || (major === 20 && minor >= 19) ? 0 : 1)'
}

# take NAME VERSION SUM FOLDER: a package of the registry, unpacked without its outer folder.
take() {
    python3 - "$registry/$1/-/$1-$2.tgz" "$3" "$4" <<'PYTHON'
import base64, hashlib, io, pathlib, sys, tarfile, urllib.request

address, expected, folder = sys.argv[1:]
with urllib.request.urlopen(address, timeout=60) as answer:
    packed = answer.read()
found = base64.b64encode(hashlib.sha512(packed).digest()).decode()
if found != expected:
    sys.exit(f"{address}: its checksum is {found}, not {expected}")
with tarfile.open(fileobj=io.BytesIO(packed)) as archive:
    for member in archive.getmembers():
        outer, _, inner = member.name.partition("/")
        if not member.isfile() or ".." in pathlib.PurePosixPath(inner).parts:
            continue
        path = pathlib.Path(folder, inner)
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(archive.extractfile(member).read())
        path.chmod(0o755 if member.mode & 0o100 else 0o644)
PYTHON
}

install_node() {
    local folder=$root/build/node machine
    machine=$(uname -m)
    if [[ -z ${node_sums[$machine]:-} ]]; then
        echo "node.sh: there is no Node 20.19 or later in PATH, and none is known for $machine" >&2
        exit 1
    fi
    local name sum
    read -r name sum <<<"${node_sums[$machine]}"
    if [[ $(cat "$folder/versions" 2>/dev/null) != "$node_version $npm_version" ]]; then
        rm -rf "$folder"
        take "node-linux-$name" "$node_version" "$sum" "$folder"
        take npm "$npm_version" "$npm_sum" "$folder/npm"
        chmod 755 "$folder/bin/node"
        printf '#!/bin/sh\nexec "%s/bin/node" "%s/npm/bin/npm-cli.js" "$@"\n' "$folder" "$folder" >"$folder/bin/npm"
        chmod 755 "$folder/bin/npm"
        echo "$node_version $npm_version" >"$folder/versions"
    fi
    export PATH=$folder/bin:$PATH
}

is_fit || install_node
# Node brings its own list of certificates; the machine's holds those of a proxy that stands before the registry, too.
machine_certificates=/etc/ssl/certs/ca-certificates.crt
if [[ -z ${NODE_EXTRA_CA_CERTS:-} && -f $machine_certificates ]]; then
    export NODE_EXTRA_CA_CERTS=$machine_certificates
fi
exec "$@"
