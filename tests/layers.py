# SPDX-License-Identifier: Apache-2.0
"""Fails on an include against the flow of data or through a library wall, on files and functions that are too long, on
functions whose last bit depends on the processor, and on two types of one name, which a linker takes for one.

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
# Of a function from its first line to its closing brace. A comment right above it, or the first of a file, that
# has these words and a reason behind them lets it be longer.
MOST_FUNCTION_LINES = 80
# The C library's own differ in the last bit from processor to processor, and a fit makes more of it. Whole powers of
# ten are exact.
UNEQUAL = re.compile(r"\bstd::(?:exp2?|expm1|log2?|log1p|pow(?!\(10\.0,))\(")
REASON = re.compile(r"// Longer than (?:80|600) lines: \w")
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


# clang-format closes a block at the indent of the line that begins its statement; namespaces are not indented, so that
# functions begin at 0 and members at 2, in classes within classes further in.
NO_FUNCTION = re.compile(r"\s*(?:namespace|class|struct|union|enum|template <[^>]*> (?:class|struct)|extern \"C\"|else|"
                         r"do|if|for|while|switch|case|default|try|\} |return)\b|.*(?:=|\(|,|return) ?\{$")


def functions(lines):
    """Where each function begins (the line behind its comment) and ends, counted from 0."""
    at = 0
    while at < len(lines):
        line = lines[at]
        if not line.endswith("{") or NO_FUNCTION.match(line) or line.lstrip().startswith(("//", "}")):
            at += 1
            continue
        begin = at
        while begin > 0 and lines[begin - 1].strip() and \
                not lines[begin - 1].endswith((";", "{", "}", ":")) and \
                not lines[begin - 1].lstrip().startswith(("//", "#")):
            begin -= 1
        indent = len(lines[begin]) - len(lines[begin].lstrip())
        close = " " * indent + "}"
        end = at + 1
        while end < len(lines) and not lines[end].startswith(close):
            end += 1
        head = lines[begin].lstrip()
        if "(" in " ".join(lines[begin:at + 1]) and not head.startswith(("{", "[", "(")) and \
                not NO_FUNCTION.match(lines[begin]):
            yield begin, end
            at = end
        at += 1


def length_complaints(path):
    text = path.read_text(encoding="utf-8")
    lines = text.split("\n")
    count = text.count("\n")
    if count > MOST_LINES and not any(REASON.match(line) for line in lines[:5]):
        yield f": {count} lines, at most {MOST_LINES}"
    for begin, end in functions(lines):
        above = lines[max(0, begin - 3):begin]
        if end - begin + 1 > MOST_FUNCTION_LINES and not any(REASON.match(line.strip()) for line in above):
            yield f":{begin + 1}: a function of {end - begin + 1} lines, at most {MOST_FUNCTION_LINES}"


def bits_complaints(path):
    for number, line in enumerate(path.read_text(encoding="utf-8").split("\n"), 1):
        if found := UNEQUAL.search(line.split("//")[0]):
            yield f":{number}: {found[0]}) depends on the processor; take core/portable_math.hpp"


NAMESPACE = re.compile(r"^namespace ([\w:]+) \{", re.MULTILINE)
TYPE = re.compile(r"^(?:template <[^>]*>\n)?(?:struct|class|enum class) (\w+)(?: final)?(?: :[^;{]*)? \{", re.MULTILINE)


def name_complaints(source):
    """Types that headers of the library, or of the tests, define twice in one namespace."""
    first = {}
    for path in sorted(path for root in ("include", "src", "tests") for path in (source / root).rglob("*.hpp")):
        text = path.read_text(encoding="utf-8")
        namespace = NAMESPACE.search(text)
        for name in TYPE.findall(text) if namespace else ():
            other = first.setdefault((namespace[1], name), path)
            if other != path:
                yield f"{path.relative_to(source)}: {namespace[1]}::{name} is in {other.relative_to(source)} too"


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
            complaints += [f"{name}{text}" for text in (*length_complaints(path), *bits_complaints(path))]
    complaints += name_complaints(source)
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
    ("src/core/a.cpp", "// Longer than 600 lines: a table.\n" + "\n" * 600, None),
    ("src/core/a.cpp", "void a() {\n" + "  b();\n" * 78 + "}", None),
    ("src/core/a.cpp", "void a() {\n" + "  b();\n" * 79 + "}", "a function of 81 lines"),
    ("src/core/a.cpp", "int a(int b,\n      int c) {\n" + "  b();\n" * 78 + "}", "a.cpp:1: a function of 81 lines"),
    ("src/core/a.cpp", "class A {\n  void a() const {\n" + "    b();\n" * 79 + "  }\n};", "a.cpp:2: a function of 81"),
    ("src/core/a.cpp", "namespace coolband {\n" + "void a();\n" * 90 + "} // namespace coolband", None),
    ("src/core/a.cpp", "struct A {\n" + "  int a = 0;\n" * 90 + "};", None),
    ("src/core/a.cpp", "constexpr auto k_a = std::to_array<int>({\n" + "    1,\n" * 90 + "});", None),
    ("src/core/a.cpp", "constexpr A k_a[] = {\n" + "    {b,\n     [](int c) {\n       return c;\n     },\n" * 30 + "};",
     None),
    ("src/core/a.cpp", "// Longer than 80 lines: one table.\nvoid a() {\n" + "  b();\n" * 90 + "}", None),
    ("src/core/a.cpp", "// Longer than 80 lines:\nvoid a() {\n" + "  b();\n" * 90 + "}", "a function of 92 lines"),
    ("src/band/a.cpp", "double a = std::exp(b);", "a.cpp:1: std::exp() depends on the processor"),
    ("src/band/a.cpp", "double a = std::pow(b, 0.8);", "std::pow() depends"),
    ("src/band/a.cpp", "double a = std::pow(10.0, digits) + portable_exp(b); // not std::exp(b)", None),
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
    with tempfile.TemporaryDirectory() as folder:
        for name in ("band/a.hpp", "import/b.hpp"):
            path = pathlib.Path(folder) / "src" / name
            path.parent.mkdir(parents=True)
            path.write_text("namespace coolband {\n\nstruct A {\n  int b = 0;\n};\n\n} // namespace coolband\n")
        found, _ = check(pathlib.Path(folder))
        if found != ["src/import/b.hpp: coolband::A is in src/band/a.hpp too"]:
            sys.exit(f"self-test: two types of one name: found {found}")
    print(f"{len(PLANTED) + 2} planted cases judged rightly")


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
