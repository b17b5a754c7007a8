// SPDX-License-Identifier: Apache-2.0
// One self-contained HTML page, from the top down.
#include "report/page.hpp"
#include "coolband/version.hpp"
#include "report/picture_colours.hpp"
#include "report/svg_canvas.hpp"

#include <fmt/core.h>

namespace coolband {

namespace {

struct Level {
  std::string_view words;
  std::string_view sign; ///< shapes in a box of 24 by 24, one of their own for each level
};

Level level_of(Action action) {
  switch (action) {
  case Action::none:
    return {"Nothing to do", R"(<circle cx="12" cy="12" r="10"/><path d="M7 12.5l3.5 3.5L17 9"/>)"};
  case Action::monitor:
    return {"Keep watching",
            R"(<path d="M1.5 12C5 6.5 8.5 5 12 5s7 1.5 10.5 7C19 17.5 15.5 19 12 19S5 17.5 )"
            R"(1.5 12z"/><circle cx="12" cy="12" r="3"/>)"};
  case Action::service:
    return {"Have it checked",
            R"(<path d="M12 2.5L22.5 21.5H1.5z"/><path d="M12 9v6M12 17.8v.4"/>)"};
  case Action::stop:
    return {"Stop: do not drive on like this",
            R"(<path d="M8 2h8l6 6v8l-6 6H8l-6-6V8z"/><path d="M7 12h10"/>)"};
  }
  return {};
}

/// Escaped, and with the unit kept on the line of its number.
std::string worded(std::string_view text) {
  std::string html = xml_escaped(text);
  const auto is_letter = [](char c) { return (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z'); };
  for (const std::string_view unit : {" °C", " K", " %", " km", " min", " kPa"}) {
    std::size_t at = 0;
    while ((at = html.find(unit, at)) != std::string::npos) {
      const std::size_t end = at + unit.size();
      const bool number = at > 0 && html[at - 1] >= '0' && html[at - 1] <= '9';
      if (number && (end == html.size() || !is_letter(html[end])))
        html.replace(at, 1, "\xC2\xA0"); // no-break space
      at = end;
    }
  }
  return html;
}

std::string element(std::string_view tag, std::string_view text) {
  return fmt::format("<{0}>{1}</{0}>\n", tag, worded(text));
}

std::string items_of(std::string_view opening, std::string_view closing,
                     const std::vector<std::string>& items) {
  std::string html = fmt::format("{}\n", opening);
  for (const std::string& item : items) html += element("li", item);
  return html + fmt::format("{}\n", closing);
}

bool is_numeric(const PageTable& table, std::size_t column) {
  return column < table.numeric.size() && table.numeric[column];
}

/// `html` is escaped already.
std::string cell(std::string_view tag, std::string_view scope, bool numeric, std::string_view html,
                 std::string_view heading = {}) {
  std::string attributes;
  if (!scope.empty()) attributes += fmt::format(" scope=\"{}\"", scope);
  if (numeric) attributes += " class=\"number\"";
  if (!heading.empty()) attributes += fmt::format(" data-heading=\"{}\"", xml_escaped(heading));
  return fmt::format("<{0}{1}>{2}</{0}>", tag, attributes, html);
}

std::string row_of(const PageTable& table, std::size_t row) {
  const std::vector<std::string>& cells = table.rows[row];
  std::string html = "<tr>";
  for (std::size_t c = 0; c < table.columns.size(); ++c) {
    std::string text = c < cells.size() ? worded(cells[c]) : "";
    if (c == 0 && row < table.links.size() && !table.links[row].empty())
      text = fmt::format("<a href=\"#{}\">{}</a>", xml_escaped(table.links[row]), text);
    html += c == 0 ? cell("th", "row", is_numeric(table, c), text)
                   : cell("td", "", is_numeric(table, c), text,
                          table.prose ? std::string_view(table.columns[c]) : std::string_view());
  }
  return html + "</tr>\n";
}

/// What is too wide scrolls by itself, with the keyboard as well.
std::string scrolling(std::string_view kind, std::string_view name, std::string_view html) {
  return fmt::format("<div class=\"scroll {}\" role=\"region\" tabindex=\"0\" "
                     "aria-label=\"{}\">\n{}</div>\n",
                     kind, xml_escaped(name), html);
}

/// How a narrow screen shows the table: rows as blocks, wider than itself, or as it is.
std::string_view kind_of(const PageTable& table) {
  constexpr std::size_t k_most_that_fit = 5;
  if (table.prose) return "blocks";
  return table.columns.size() > k_most_that_fit ? "wide" : "narrow";
}

} // namespace

HtmlPage::HtmlPage(std::string title, std::string about)
    : title_(std::move(title)), about_(std::move(about)) {}

void HtmlPage::banner(Action action, const std::string& headline, const std::string& detail) {
  const Level level = level_of(action);
  body_ +=
      fmt::format("<div class=\"banner {}\" role=\"group\" aria-label=\"Verdict\">\n"
                  "<svg class=\"sign\" viewBox=\"0 0 24 24\" aria-hidden=\"true\" fill=\"none\" "
                  "stroke=\"currentColor\" stroke-width=\"2\" stroke-linecap=\"round\" "
                  "stroke-linejoin=\"round\">{}</svg>\n"
                  "<p class=\"level\">{}</p>\n<p class=\"headline\">{}</p>\n",
                  name_of(action), level.sign, level.words, worded(headline));
  if (!detail.empty()) body_ += fmt::format("<p class=\"detail\">{}</p>\n", worded(detail));
  body_ += "</div>\n";
}

void HtmlPage::end_section() {
  if (in_section_) body_ += "</section>\n";
  in_section_ = false;
}

void HtmlPage::part(const std::string& heading, const std::string& id) {
  end_section();
  if (in_part_) body_ += "</article>\n";
  in_part_ = true;
  body_ += fmt::format("<article id=\"{0}\" aria-labelledby=\"{0}-name\">\n"
                       "<h2 id=\"{0}-name\">{1}</h2>\n",
                       xml_escaped(id), xml_escaped(heading));
}

void HtmlPage::section(const std::string& heading) {
  end_section();
  in_section_ = true;
  ++headings_;
  body_ += fmt::format("<section aria-labelledby=\"part-{0}\">\n"
                       "<h{1} id=\"part-{0}\">{2}</h{1}>\n",
                       headings_, in_part_ ? 3 : 2, xml_escaped(heading));
}

std::string HtmlPage::take() {
  end_section();
  return std::exchange(body_, {});
}

void HtmlPage::paragraph(const std::string& text) { body_ += element("p", text); }

void HtmlPage::list(const std::vector<std::string>& items) {
  if (!items.empty()) body_ += items_of("<ul>", "</ul>", items);
}

void HtmlPage::steps(const std::vector<std::string>& items) {
  if (!items.empty()) body_ += items_of("<ol>", "</ol>", items);
}

void HtmlPage::checklist(const std::vector<std::string>& items) {
  if (items.empty()) return;
  body_ += "<ul class=\"checks\">\n";
  for (const std::string& item : items)
    body_ += fmt::format("<li><label><input type=\"checkbox\"><span>{}</span></label></li>\n",
                         xml_escaped(item));
  body_ += "</ul>\n";
}

void HtmlPage::cautions(const std::vector<std::string>& items) {
  if (!items.empty())
    body_ += items_of("<ul class=\"cautions\" aria-label=\"Cautions\">", "</ul>", items);
}

void HtmlPage::facts(const std::vector<std::pair<std::string, std::string>>& pairs) {
  if (pairs.empty()) return;
  body_ += "<dl>\n";
  for (const auto& [name, value] : pairs) body_ += element("dt", name) + element("dd", value);
  body_ += "</dl>\n";
}

void HtmlPage::table(const PageTable& table) {
  std::string html = "<table>\n" + element("caption", table.caption) + "<thead>\n<tr>";
  for (std::size_t c = 0; c < table.columns.size(); ++c)
    html += cell("th", "col", is_numeric(table, c), xml_escaped(table.columns[c]));
  html += "</tr>\n</thead>\n<tbody>\n";
  for (std::size_t row = 0; row < table.rows.size(); ++row) html += row_of(table, row);
  body_ += scrolling(kind_of(table), table.caption, html + "</tbody>\n</table>\n");
}

void HtmlPage::picture(const std::string& svg, const std::string& words, PictureRoom room) {
  // A narrow screen shows all of it, small; larger, it scrolls.
  constexpr std::string_view k_larger =
      "<label class=\"larger\"><input type=\"checkbox\"> Enlarge the picture; then swipe it "
      "sideways</label>\n";
  body_ += fmt::format("<figure class=\"{}{}\">\n{}{}<figcaption>{}</figcaption>\n</figure>\n",
                       room == PictureRoom::large ? "large" : "usual",
                       has_dark_colours(svg) ? " themed" : "", k_larger,
                       scrolling("image", "Picture", svg + "\n"), worded(words));
}

void HtmlPage::fold(const std::string& summary, const std::vector<std::string>& items) {
  HtmlPage inner("", "");
  inner.list(items);
  fold(summary, inner);
}

void HtmlPage::fold(const std::string& summary, const HtmlPage& inner) {
  body_ += "<details>\n" + element("summary", summary) + inner.body_ + "</details>\n";
}

std::string HtmlPage::finished() const {
  // The policy lets a browser fetch nothing at all, whatever a text may hold.
  std::string html =
      fmt::format("<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
                  "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; "
                  "style-src 'unsafe-inline'; img-src data:\">\n"
                  "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n"
                  "<meta name=\"color-scheme\" content=\"light dark\">\n"
                  "<link rel=\"icon\" href=\"data:,\">\n<title>{0}</title>\n<style>{1}{2}</style>\n"
                  "</head>\n<body>\n<a class=\"skip\" href=\"#report\">Skip to the report</a>\n"
                  "<header>\n<h1>{0}</h1>\n",
                  xml_escaped(title_), page_style(), dark_pictures_style());
  if (!about_.empty()) html += fmt::format("<p class=\"about\">{}</p>\n", xml_escaped(about_));
  html += "</header>\n<main id=\"report\">\n" + body_;
  if (in_section_) html += "</section>\n";
  if (in_part_) html += "</article>\n";
  return html + fmt::format("</main>\n<footer>Written by coolband {}. Follow the vehicle maker's "
                            "procedure wherever it differs.</footer>\n</body>\n</html>\n",
                            version());
}

} // namespace coolband
