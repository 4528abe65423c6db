// SPDX-License-Identifier: Apache-2.0
// lastlook where: where on the product defects gather.
#include <fmt/format.h>

#include <algorithm>

#include "analytics/concentration_chart.h"
#include "kiosk/commands/command.h"
#include "kiosk/commands/picture_file.h"
#include "kiosk/commands/reply.h"
#include "kiosk/commands/station_source.h"
#include "kiosk/records/place_queries.h"
#include "kiosk/text/csv.h"

namespace lastlook::commands {
namespace {

using namespace analytics;

constexpr std::string_view kHeader = "defect,x,y[,severity,count]";

struct WhereCommand {
  std::string file;
  StationSource station;
  OpenSource records;
  std::string picture;
  std::string severe = "critical";
  Delivery delivery;
};

struct Found {
  std::vector<PlacedFinding> placed;
  std::int64_t without_place = 0;
};

class PlaceReader {
 public:
  PlaceReader(text::CsvReader& csv, const std::string& severe) : csv_(csv), severe_(severe) {}

  Result<Found> read_all() {
    for (const auto& [name, column] : {std::pair{"defect", &defect_}, {"x", &x_}, {"y", &y_}}) {
      const Result<std::size_t> found = csv_.require(name, kHeader);
      if (!found) return tl::unexpected(found.error());
      *column = *found;
    }
    severity_ = csv_.find("severity");
    count_ = csv_.find("count");
    Found all;
    for (;;) {
      const Result<bool> more = csv_.next();
      if (!more) return tl::unexpected(more.error());
      if (!*more) return all;
      if (const Status s = read_row(all); !s) return tl::unexpected(s.error());
    }
  }

 private:
  Result<double> fraction(std::size_t column) const {
    const Result<double> value = csv_.number(column);
    if (!value || *value <= 1) return value;
    return csv_.expected(column, "a fraction of the picture, 0 to 1");
  }

  Status read_row(Found& all) const {
    PlacedFinding finding;
    const Result<std::string_view> defect = csv_.name(defect_);
    if (!defect) return tl::unexpected(defect.error());
    finding.kind = *defect;
    if (count_) {
      const Result<std::int64_t> count = csv_.count(*count_);
      if (!count) return tl::unexpected(count.error());
      finding.count = *count;
    }
    if (severity_ && !csv_.blank(*severity_)) finding.severe = *csv_.name(*severity_) == severe_;
    if (csv_.blank(x_) && csv_.blank(y_)) {
      all.without_place += finding.count;
      return {};
    }
    const Result<double> x = fraction(x_);
    if (!x) return tl::unexpected(x.error());
    const Result<double> y = fraction(y_);
    if (!y) return tl::unexpected(y.error());
    finding.x = *x;
    finding.y = *y;
    all.placed.push_back(std::move(finding));
    return {};
  }

  text::CsvReader& csv_;
  const std::string& severe_;
  std::size_t defect_ = 0;
  std::size_t x_ = 0;
  std::size_t y_ = 0;
  std::optional<std::size_t> severity_;
  std::optional<std::size_t> count_;
};

// A finding without a place lies in the middle of its component's box.
Result<Found> station_places(const WhereCommand& command) {
  const records::View view = command.records.view();
  const auto counts = records::finding_places(view, command.station.period);
  if (!counts) return tl::unexpected(counts.error());
  const domain::Master& master = view.master;
  Found all;
  for (const records::PlaceCount& count : *counts) {
    const domain::Component* component = master.component(count.component);
    const domain::Defect* defect = master.defect(count.defect);
    if (!count.place && !component) {
      all.without_place += count.findings;
      continue;
    }
    PlacedFinding finding;
    finding.kind = fmt::format("{}: {}", component ? component->name : count.component,
                               defect ? defect->name : count.defect);
    finding.x = count.place ? count.place->x : component->box.x + component->box.w / 2;
    finding.y = count.place ? count.place->y : component->box.y + component->box.h / 2;
    finding.count = count.findings;
    finding.severe = count.severity == command.severe;
    all.placed.push_back(std::move(finding));
  }
  return all;
}

Result<Found> read_found(WhereCommand& command) {
  Status s = check_source(command.file, command.station);
  if (s) s = open_where_given(command.station, command.records);
  if (!s) return tl::unexpected(s.error());
  if (command.station.is_given()) return station_places(command);
  Result<text::CsvReader> csv = text::CsvReader::open(command.file);
  if (!csv) return tl::unexpected(csv.error());
  return PlaceReader(*csv, command.severe).read_all();
}

Json as_json(const std::vector<Gathering>& gatherings, const Found& found,
             const OpenSource& records) {
  Json rows = Json::array();
  for (const Gathering& g : gatherings) {
    rows.push_back(
        {{"x", g.x}, {"y", g.y}, {"count", g.count}, {"defect", g.kind}, {"severe", g.severe}});
  }
  Json out = {{"places", std::move(rows)}, {"without_place", found.without_place}};
  add_as_of(out, records);
  return out;
}

Reply as_reply(const std::vector<Gathering>& gatherings, const Found& found,
               const OpenSource& records) {
  Reply reply("Where do defects gather?");
  TextTable table("rlrrl");
  table.row({"count", "mostly", "x", "y", ""});
  std::int64_t total = 0;
  for (const Gathering& g : gatherings) {
    total += g.count;
    table.row({std::to_string(g.count), g.kind, fmt::format("{:.2f}", g.x),
               fmt::format("{:.2f}", g.y), g.severe ? "severe" : ""});
  }
  if (!gatherings.empty()) reply.add(std::move(table));
  reply.add(fmt::format("findings: {}, places: {}, without a place: {}", total, gatherings.size(),
                        found.without_place));
  add_as_of(reply, records);
  return reply;
}

int where(WhereCommand& command) {
  const Result<Found> found = read_found(command);
  if (!found) return report(found.error());
  ConcentrationOptions options;
  if (!command.picture.empty()) {
    Result<PictureFile> picture = read_picture(command.picture);
    if (!picture) return report(picture.error());
    options.picture = std::move(picture->data_uri);
    options.picture_width = picture->width;
    options.picture_height = picture->height;
  }
  options.frame = {900, 480, 14, "Where do defects gather?"};
  const std::vector<Gathering> gatherings =
      gather(found->placed, kFingertip, options.picture_height / options.picture_width);
  const WideSansMeasure measure;
  Reply reply = as_reply(gatherings, *found, command.records);
  reply.made_from_file(command.file);
  const Status said = deliver(
      command.delivery, reply, [&] { return as_json(gatherings, *found, command.records); },
      [&] { return concentration_chart(found->placed, options, measure); });
  return said ? done : report(said.error());
}

}  // namespace

void add_where(Program& program) {
  auto command = std::make_shared<WhereCommand>();
  CLI::App* app = program.app.add_subcommand("where", "Says where on the product defects gather");
  add_source(app, command->file, command->station,
             "CSV with the columns defect,x,y[,severity,count]; x and y are fractions of the "
             "picture's width and height, from the upper left corner");
  app->add_option("--picture", command->picture, "Draws on this picture of the product");
  app->add_option("--severe", command->severe, "The severity that is drawn as a diamond")
      ->capture_default_str();
  add_delivery(app, command->delivery, "Writes JSON");
  app->footer("Example:\n  lastlook where --dir station --picture reference.jpg --svg where.svg");
  app->callback([&program, command] { program.exit_code = where(*command); });
}

}  // namespace lastlook::commands
