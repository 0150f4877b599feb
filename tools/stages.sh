# For ./start and ./check (sourced in the root of the repository): one calm line per stage with its time, everything else
# in build/log; what a stage wrote is shown only where it fails.

export LC_ALL=C.UTF-8 DEBIAN_FRONTEND=noninteractive
log_folder=build/log
mkdir -p "$log_folder"
# The compiler cache needs a home.
if [[ -z ${HOME:-} ]]; then
    export CCACHE_DIR=${CCACHE_DIR:-$PWD/build/ccache}
fi

# stage TITLE COMMAND...: runs it; on failure shows the end of its log and ends the script.
stage() {
    local title=$1 began=$SECONDS
    shift
    local log=$log_folder/${title// /-}.txt
    printf '%-28s' "$title"
    if "$@" >"$log" 2>&1 </dev/null; then
        printf '%4d s\n' $((SECONDS - began))
    else
        local status=$?
        printf '%4d s  FAILED\n' $((SECONDS - began))
        # The first error tells the most, and the test runner gives its list last.
        if [[ $(wc -l <"$log") -gt 60 ]]; then
            grep -n -m 20 -E 'error:|FAILED:' "$log" || true
            echo ...
        fi
        tail -n 60 "$log"
        echo "all of it: $log" >&2
        exit $status
    fi
}

missing_packages() {
    local package
    while read -r package; do
        [[ $(dpkg-query -W -f='${db:Status-Status}' "$package" 2>/dev/null) == installed ]] || echo "$package"
    done < <(sed -e 's/#.*//' -e '/^[[:space:]]*$/d' packages.txt)
}

install_packages() {
    local as_root=()
    if [[ $EUID -ne 0 ]]; then
        as_root=(sudo)
    fi
    "${as_root[@]}" apt-get update
    "${as_root[@]}" env DEBIAN_FRONTEND=noninteractive apt-get install -y --no-install-recommends "$@"
}

# What packages.txt names and is not installed; where nothing is missing, nothing is asked of the network.
packages() {
    if ! command -v dpkg-query >/dev/null; then
        echo "this is no Debian: the packages of packages.txt are taken to be there" >&2
        return
    fi
    local missing
    mapfile -t missing < <(missing_packages)
    if [[ ${#missing[@]} -gt 0 ]]; then
        if [[ $EUID -ne 0 ]] && ! command -v sudo >/dev/null; then
            echo "missing, and neither root nor sudo is at hand to install them: ${missing[*]}" >&2
            exit 1
        fi
        stage "packages (${#missing[@]} missing)" install_packages "${missing[@]}"
    fi
}

# build PRESET [TARGET...]
configure_and_build() {
    local preset=$1
    shift
    cmake --preset "$preset" && cmake --build --preset "$preset" ${@:+--target "$@"}
}

# In web, with a Node that is fit for it.
in_web() {
    (cd web && ../tools/node.sh "$@")
}

# The page in web/dist, which the program carries; its packages are taken once for a lock file.
build_page() {
    if [[ ! web/node_modules/.package-lock.json -nt web/package-lock.json ]]; then
        in_web npm ci --ignore-scripts --no-audit --no-fund || return
    fi
    in_web npm run build
}

# serve_atlas NAME ATLAS: serves it on a port that is free, until the stage ends; its address goes into `address`.
serve_atlas() {
    local said=$log_folder/page-service-$1.txt
    build/release/omniway serve --port 0 --atlas "$2" >"$said" 2>&1 &
    served+=($!)
    address=
    for _ in {1..100}; do
        address=$(sed -n 's/^omniway: listening at \(.*\)\/$/\1/p' "$said")
        [[ -z $address ]] || return 0
        sleep 0.1
    done
    cat "$said"
    return 1
}

# What the sanitizers say of the fast tests.
tests_under_sanitizers() {
    configure_and_build asan && tools/run_tests.py asan "$@"
}

# page_in_the_browser_beside COMMAND...: a browser waits half of its time, in which the machine can do something else.
page_in_the_browser_beside() {
    local status=0 browser said=$log_folder/page-in-the-browser.txt
    page_in_the_browser >"$said" 2>&1 &
    browser=$!
    "$@" || status=$?
    wait "$browser" || {
        status=$?
        cat "$said"
    }
    return "$status"
}

# The page against the program itself: the demo region; one aid and nothing else; and real data where there is some. Not where it passed
# before with the same page, program and data, unless `again` is --again.
page_in_the_browser() {
    local served=() address='' demo='' one_aid='' real='' status=0 digest
    local data=${OMNIWAY_REAL_DATA:-../shared/navdata} folder=build/page-atlases
    local passed=$folder/passed.txt
    mkdir -p "$folder"
    digest=$(tools/digest_of.py build/release/omniway build/release/tools/demo_region/demo-region.txt web/dist web/tests web/src web/vitest.e2e.ts)
    if [[ ${again:-} != --again && -f $passed && $(<"$passed") == "$digest" ]]; then
        echo "passed before with the same page, program and data"
        return 0
    fi
    serve_atlas demo build/release/share/omniway/demo.atlas && demo=$address || status=1
    sed -n '/^SPACD  /{p;q}' build/release/tools/demo_region/demo-region.txt >"$folder/one-aid.txt"
    build/release/omniway import "$folder/one-aid.txt" --out "$folder/one-aid.atlas" >/dev/null || status=1
    serve_atlas one-aid "$folder/one-aid.atlas" && one_aid=$address || status=1
    if [[ -d $data/cifp ]]; then
        build/release/omniway import "$data"/cifp/*.txt --out "$folder/real.atlas" >/dev/null || status=1
        serve_atlas real "$folder/real.atlas" && real=$address || status=1
    elif [[ -n ${OMNIWAY_REQUIRE_REAL_DATA:-} ]]; then
        echo "real data is required (OMNIWAY_REQUIRE_REAL_DATA), and $data/cifp is not there"
        status=1
    fi
    if ((status == 0)); then
        OMNIWAY_SERVICE=$demo OMNIWAY_SERVICE_OF_ONE_AID=$one_aid OMNIWAY_SERVICE_OF_REAL_DATA=$real in_web npm run e2e || status=$?
    fi
    kill "${served[@]}"
    wait "${served[@]}" || true
    if ((status == 0)); then
        echo "$digest" >"$passed"
    fi
    return "$status"
}
