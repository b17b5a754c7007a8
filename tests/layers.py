# SPDX-License-Identifier: Apache-2.0
"""Fails on the first include against the flow of data, or through a library wall.

    layers.py [SOURCE]      check src/ and include/
    layers.py --self-test   check that planted violations are caught
"""
import pathlib
import re
import sys
import tempfile

# Each folder may include those before it. The pages that hold the whole judgement, of a log (analyse) and
# of one that is being written (watch), come after diagnose; they and the version stand outside the folders.
ORDER = ("core", "numeric", "import", "condition", "segment", "circuit", "band", "diagnose", "analyse",
         "watch", "repair", "report", "fleet", "cli")
JSON_FOLDERS = {"import", "band", "report", "repair", "fleet", "cli"}
EIGEN_FOLDERS = {"numeric", "circuit", "band", "diagnose"}
MOST_PUBLIC_HEADERS = 20
MOST_LINES = 600
INCLUDE = re.compile(r'^[ \t]*#[ \t]*include[ \t]*(["<])([^">]+)[">]', re.MULTILINE)


def folder_of(path):
    """The layer of a file or include path below include/coolband or src."""
    parts = pathlib.PurePosixPath(path).parts
    return parts[0] if len(parts) > 1 else pathlib.PurePosixPath(path).stem.split(".")[0]


def includes_of(path):
    text = re.sub(r"/\*.*?\*/", "", path.read_text(encoding="utf-8"), flags=re.DOTALL)
    return [(kind == '"', target) for kind, target in INCLUDE.findall(text)]


def library_complaint(layer, header, public, target):
    """What is wrong with including another's header here; None when nothing is."""
    if target.startswith("CLI/"):
        return None if layer == "cli" else "CLI11 belongs to cli only"
    if target.startswith("nlohmann/"):
        if public or layer not in JSON_FOLDERS:
            return f"nlohmann_json belongs to {', '.join(sorted(JSON_FOLDERS))}, not to public headers"
        if header and target != "nlohmann/json_fwd.hpp":
            return "a header may have nlohmann/json_fwd.hpp only"
    if target.startswith("Eigen/"):
        if public or layer not in EIGEN_FOLDERS:
            return f"Eigen belongs to {', '.join(sorted(EIGEN_FOLDERS))}, not to public headers"
    if target == "zlib.h" and (header or layer != "import"):
        return "zlib belongs to .cpp files of import"
    if target.startswith("fmt/") and header:
        return "fmt belongs to .cpp files"
    if public and "/" in target and not target.startswith("coolband/"):
        return "a public header has public headers and the standard library only"
    return None


def order_complaint(layer, target_layer):
    if target_layer == "version":
        return None
    for name in (layer, target_layer):
        if name not in ORDER and name != "version":
            return f"'{name}' is no layer"
    if layer == "version" or ORDER.index(target_layer) > ORDER.index(layer):
        return f"{layer} may not include {target_layer}"
    return None


def complaints_of(path, layer, public):
    header = path.name.endswith((".hpp", ".h", ".hpp.in"))
    for quoted, target in includes_of(path):
        if not quoted:
            complaint = library_complaint(layer, header, public, target)
        elif target.startswith("coolband/"):
            complaint = order_complaint(layer, folder_of(target.removeprefix("coolband/")))
        elif public:
            complaint = "a public header includes public headers only"
        else:
            complaint = library_complaint(layer, header, public, target) or \
                order_complaint(layer, folder_of(target))
        if complaint:
            yield f'includes "{target}": {complaint}'


def sources(root):
    suffixes = (".hpp", ".cpp", ".h", ".cpp.in", ".hpp.in")
    return sorted(path for path in root.rglob("*") if path.name.endswith(suffixes))


def check(source):
    """All complaints, and how many includes were looked at."""
    complaints, looked_at = [], 0
    public_root, private_root = source / "include" / "coolband", source / "src"
    headers = sources(public_root)
    if len(headers) > MOST_PUBLIC_HEADERS:
        complaints.append(f"include/: {len(headers)} public headers, at most {MOST_PUBLIC_HEADERS}")
    for root, public in ((public_root, True), (private_root, False)):
        for path in sources(root):
            name = path.relative_to(source)
            layer = folder_of(path.relative_to(root))
            looked_at += len(includes_of(path))
            complaints += [f"{name} {text}" for text in complaints_of(path, layer, public)]
            lines = path.read_text(encoding="utf-8").count("\n")
            if lines > MOST_LINES:
                complaints.append(f"{name}: {lines} lines, at most {MOST_LINES}")
    return complaints, looked_at


PLANTED = (
    # file, text, what the complaint must say (None: it must be accepted)
    ("src/core/a.cpp", '#include "numeric/b.hpp"', "core may not include numeric"),
    ("src/import/a.cpp", '#include "coolband/band/normal_band.hpp"', "import may not include band"),
    ("src/diagnose/a.cpp", '#include "coolband/analyse.hpp"', "diagnose may not include analyse"),
    ("src/analyse.cpp", '#include "report/layout.hpp"', "analyse may not include report"),
    ("src/report/a.cpp", '#  include  "cli/output.hpp"', "report may not include cli"),
    ("src/report/a.cpp", '#include "coolband/analyse.hpp"', None),
    ("src/cli/a.cpp", '#include "coolband/version.hpp"', None),
    ("src/band/a.cpp", '// #include "cli/output.hpp"', None),
    ("src/helpers/a.cpp", '#include "core/text_file.hpp"', "'helpers' is no layer"),
    ("src/report/a.cpp", "#include <CLI/CLI.hpp>", "CLI11 belongs to cli"),
    ("src/segment/a.cpp", "#include <nlohmann/json.hpp>", "nlohmann_json belongs to"),
    ("src/band/a.hpp", "#include <nlohmann/json.hpp>", "json_fwd.hpp only"),
    ("src/band/a.hpp", "#include <nlohmann/json_fwd.hpp>", None),
    ("src/import/a.cpp", "#include <Eigen/Core>", "Eigen belongs to"),
    ("src/core/a.hpp", "#include <fmt/core.h>", "fmt belongs to .cpp"),
    ("src/import/a.hpp", "#include <zlib.h>", "zlib belongs to .cpp files of import"),
    ("src/report/a.cpp", "#include <zlib.h>", "zlib belongs to .cpp files of import"),
    ("src/import/a.cpp", "#include <zlib.h>", None),
    ("src/core/a.cpp", "#include <fmt/core.h>", None),
    ("include/coolband/band/a.hpp", "#include <Eigen/Core>", "Eigen belongs to"),
    ("include/coolband/band/a.hpp", "#include <nlohmann/json_fwd.hpp>", "nlohmann_json belongs to"),
    ("include/coolband/band/a.hpp", '#include "band/spread.hpp"', "public headers only"),
    ("include/coolband/core/a.hpp", '#include "coolband/band/b.hpp"', "core may not include band"),
    ("include/coolband/core/a.hpp", "#include <sys/stat.h>", "standard library only"),
    ("include/coolband/core/a.hpp", "#include <vector>", None),
    ("src/core/a.cpp", "\n" * 601, "601 lines"),
)


def self_test():
    for file, text, wanted in PLANTED:
        with tempfile.TemporaryDirectory() as folder:
            path = pathlib.Path(folder) / file
            path.parent.mkdir(parents=True)
            path.write_text(text + "\n" if text.strip() else text, encoding="utf-8")
            found, _ = check(pathlib.Path(folder))
        if (wanted is None) != (not found) or (wanted and wanted not in found[0]):
            sys.exit(f"self-test: {file} with {text.strip()!r}: wanted {wanted!r}, found {found}")
    with tempfile.TemporaryDirectory() as folder:
        headers = pathlib.Path(folder) / "include" / "coolband" / "core"
        headers.mkdir(parents=True)
        for number in range(MOST_PUBLIC_HEADERS + 1):
            (headers / f"h{number}.hpp").write_text("#include <vector>\n")
        if not check(pathlib.Path(folder))[0]:
            sys.exit("self-test: too many public headers were not noticed")
    print(f"{len(PLANTED) + 1} planted cases judged rightly")


def main():
    if sys.argv[1:] == ["--self-test"]:
        return self_test()
    source = pathlib.Path(sys.argv[1] if len(sys.argv) > 1 else pathlib.Path(__file__).parent.parent)
    complaints, looked_at = check(source.resolve())
    if looked_at == 0:
        sys.exit(f"no includes found below {source}")
    for complaint in complaints:
        print(complaint)
    print(f"{looked_at} includes, {len(complaints)} against the rules")
    sys.exit(1 if complaints else 0)


if __name__ == "__main__":
    main()
