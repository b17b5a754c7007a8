// SPDX-License-Identifier: Apache-2.0
// A page of HTML: its structure, and that no text can break out of its place.
#include "report/page.hpp"
#include "report/svg_canvas.hpp"
#include "support/texts.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <string>
#include <string_view>
#include <vector>

using namespace coolband;
using namespace coolband::testing;

namespace {

/// The first tag that is closed out of order or never, or empty. Void elements and shapes that
/// close themselves are skipped.
std::string first_bad_tag(std::string_view html) {
  constexpr std::array<std::string_view, 4> k_void{"meta", "link", "input", "!DOCTYPE"};
  std::vector<std::string> open;
  std::size_t at = 0;
  while ((at = html.find('<', at)) != std::string_view::npos) {
    const std::size_t end = html.find('>', at);
    if (end == std::string_view::npos) return "no end";
    std::string_view tag = html.substr(at + 1, end - at - 1);
    at = end;
    if (!tag.empty() && tag.back() == '/') continue;
    const bool closing = !tag.empty() && tag.front() == '/';
    if (closing) tag.remove_prefix(1);
    const std::string name(tag.substr(0, tag.find(' ')));
    if (std::find(k_void.begin(), k_void.end(), name) != k_void.end()) continue;
    if (!closing) {
      open.push_back(name);
    } else {
      if (open.empty() || open.back() != name) return name;
      open.pop_back();
    }
  }
  return open.empty() ? "" : open.back();
}

const std::vector<std::string> k_hostile{
    "</style><script>alert(1)</script>",
    "\"><img src=x onerror=alert(1)>",
    "' onmouseover='alert(1)",
    "<!-- -->",
    "]]><b>",
    "&lt;b&gt; &amp;",
    std::string("nul \0 and \xff\xc3\x28 bytes", 20),
    "</main></body></html>",
    "{0} {{ }} %s \\",
};

/// Every kind of part, each of them made of `text`.
std::string page_of(const std::string& text) {
  HtmlPage page(text, text);
  page.banner(Action::stop, text, text);
  page.section(text);
  page.paragraph(text);
  page.list({text});
  page.steps({text});
  page.checklist({text});
  page.cautions({text});
  page.facts({{text, text}});
  page.table({text, {text, text}, {{text, text}}, {false, true}, {}, true});
  page.picture("<svg></svg>", text);
  page.fold(text, {text});
  return page.finished();
}

} // namespace

TEST_CASE("no text breaks out of its place in a page") {
  const std::string plain = page_of("plain");
  REQUIRE(first_bad_tag(plain) == "");
  for (const std::string& text : k_hostile) {
    INFO(text);
    const std::string html = page_of(text);
    CHECK(first_bad_tag(html) == "");
    // As many tags and quotes as with plain words, and no byte that is no text.
    CHECK(times_in(html, "<") == times_in(plain, "<"));
    CHECK(times_in(html, ">") == times_in(plain, ">"));
    CHECK(times_in(html, "\"") == times_in(plain, "\""));
    CHECK(times_in(html, "'") == times_in(plain, "'"));
    CHECK(html.find('\0') == std::string::npos);
    CHECK(times_in(html, xml_escaped(text)) == times_in(plain, "plain"));
  }
}

TEST_CASE("a page says what a reader of screens needs") {
  const std::string html = page_of("x");
  CHECK(html.starts_with("<!DOCTYPE html>\n<html lang=\"en\">"));
  CHECK(html.ends_with("</html>\n"));
  CHECK(times_in(html, "<h1>") == 1);
  CHECK(times_in(html, "<main id=\"report\">") == 1);
  CHECK(times_in(html, "href=\"#report\"") == 1);
  CHECK(times_in(html, "<caption>") == 1);
  CHECK(times_in(html, "scope=\"col\"") == 2);
  CHECK(times_in(html, "scope=\"row\"") == 1);
}

TEST_CASE("sections follow each other and are named by their headings") {
  HtmlPage page("t", "");
  page.section("one");
  page.section("two");
  const std::string html = page.finished();
  CHECK(first_bad_tag(html) == "");
  CHECK(html.find("<h2 id=\"part-1\">one</h2>\n</section>\n<section aria-labelledby=\"part-2\">") !=
        std::string::npos);
  CHECK(times_in(html, "class=\"about\"") == 0);
}

TEST_CASE("each level has a word and a shape of its own") {
  std::vector<std::string> banners;
  for (const Action action : {Action::none, Action::monitor, Action::service, Action::stop}) {
    HtmlPage page("t", "");
    page.banner(action, "headline", "");
    std::string html = page.finished();
    html.erase(0, html.find("<svg class=\"sign\""));
    banners.push_back(html.substr(0, html.find("<p class=\"headline\"")));
  }
  for (const std::string& banner : banners)
    CHECK(std::count(banners.begin(), banners.end(), banner) == 1);
  CHECK(banners[3].find("do not drive on") != std::string::npos);
}

TEST_CASE("rows that are too short are filled up, numbers align right") {
  HtmlPage page("t", "");
  page.table({"c", {"a", "b", "d"}, {{"1", "2"}}, {false, true}});
  const std::string html = page.finished();
  CHECK(html.find("<tr><th scope=\"row\">1</th><td class=\"number\">2</td><td></td></tr>") !=
        std::string::npos);
}

TEST_CASE("a narrow screen is told what each cell of a table of sentences is, and of others not") {
  const PageTable table{"c", {"a", "b <c>"}, {{"1", "2"}}, {}, {}, true};
  HtmlPage page("t", "");
  page.table(table);
  CHECK(times_in(page.take(), "<td data-heading=\"b &lt;c&gt;\">2</td>") == 1);
  PageTable numbers = table;
  numbers.prose = false;
  page.table(numbers);
  CHECK(times_in(page.take(), "data-heading") == 0);
}

TEST_CASE("how a table is shown on a narrow screen follows from what it holds") {
  const auto kind = [](std::size_t columns, bool prose) {
    HtmlPage page("t", "");
    page.table({"c", std::vector<std::string>(columns, "h"), {}, {}, {}, prose});
    const std::string html = page.take();
    return html.substr(0, html.find(" role"));
  };
  CHECK(kind(3, true) == "<div class=\"scroll blocks\"");
  CHECK(kind(5, false) == "<div class=\"scroll narrow\"");
  CHECK(kind(6, false) == "<div class=\"scroll wide\"");
  for (const std::string_view shown : {".blocks td::before", ".wide::before", ".narrow {"})
    CHECK(page_style().find(shown) != std::string_view::npos);
}

TEST_CASE("a picture can be enlarged, and may ask for more of a sheet") {
  HtmlPage page("t", "");
  page.picture("<svg></svg>", "w", PictureRoom::large);
  page.picture("<svg></svg>", "w");
  const std::string html = page.take();
  CHECK(times_in(html, "<label class=\"larger\"><input type=\"checkbox\">") == 2);
  CHECK(times_in(html, "<figure class=\"large themed\">") == 1);
  CHECK(times_in(html, "<figure class=\"usual themed\">") == 1);
}

TEST_CASE("a fold can hold what another page was made of") {
  HtmlPage inner("", "");
  inner.list({"first"});
  inner.table({"c", {"a"}, {{"1"}}, {}});
  HtmlPage page("t", "");
  page.fold("more", inner);
  const std::string html = page.take();
  CHECK(html.starts_with("<details>\n<summary>more</summary>\n<ul>"));
  CHECK(html.find("<table>") < html.find("</details>"));
}

TEST_CASE("a page refers to nothing outside and runs nothing") {
  const std::string html = page_of("x");
  for (const std::string_view outside : {"http:", "https:", "url(", "@import", "<script", "src="})
    CHECK(times_in(html, outside) == 0);
}
