// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <filesystem>
#include <fstream>

#include "kiosk/commands/command.h"
#include "vision/judge.h"
#include "vision/picture_file.h"

namespace lastlook::commands {
namespace {

struct SeeOptions {
  std::string model;
  std::vector<std::string> pictures;
  std::string variant;
  std::string csv;
};

// A field of comma-separated values, quoted where it must be.
std::string field(const std::string& text) {
  if (text.find_first_of(",\"\n") == std::string::npos) return text;
  std::string quoted = "\"";
  for (const char c : text) quoted += c == '"' ? "\"\"" : std::string(1, c);
  return quoted + '"';
}

std::string rows_of(const vision::Model& model, const vision::Judgement& judgement,
                    const std::string& file, const std::string& variant) {
  std::string rows;
  // The time of a picture is shared out: each component its own and a part of what all need.
  double own = 0;
  for (const auto& c : judgement.components) own += c.ms;
  const double shared =
      (judgement.total_ms - own) / static_cast<double>(judgement.components.size());
  for (const vision::ComponentOpinion& c : judgement.components) {
    rows += fmt::format("{},{},{},{},{},{:.4f},{:.1f},{:.1f},{:.1f},{:.1f},{:.3f}\n", field(file),
                        field(variant), field(model.components[c.component].name),
                        vision::name_of(c.opinion), vision::name_of(c.conforming), c.score,
                        c.box_px.x, c.box_px.y, c.box_px.width, c.box_px.height, c.ms + shared);
  }
  return rows;
}

int see(const SeeOptions& options) {
  const Result<vision::Model> model = vision::load_model(options.model);
  if (!model) return report(model.error());
  std::string csv = "file,variant,component,opinion,conforming,score,x,y,w,h,ms\n";
  for (const std::string& path : options.pictures) {
    const Result<cv::Mat> picture = vision::read_picture(path);
    if (!picture) return report(picture.error());
    const Result<vision::Judgement> judgement = vision::judge(*model, *picture, options.variant);
    if (!judgement) return report(judgement.error());
    csv += rows_of(*model, *judgement, std::filesystem::path(path).filename().string(),
                   options.variant);
  }
  std::ofstream out(options.csv, std::ios::binary | std::ios::trunc);
  out << csv;
  out.flush();
  if (!out) return report({Category::io, options.csv + ": cannot be written"});
  return done;
}

}  // namespace

void add_see(Program& program) {
  CLI::App* command =
      program.app.add_subcommand("see", "The camera's opinion on each component of pictures");
  command->footer(
      "Example: lastlook see pump.model unit-1.jpg unit-2.jpg --variant CP-210 --csv out.csv");
  auto options = std::make_shared<SeeOptions>();
  command->add_option("MODEL", options->model, "as lastlook teach wrote it")->required();
  command->add_option("PICTURE", options->pictures, "one or more")->required();
  command->add_option("--variant", options->variant, "what the pictures should show")->required();
  command->add_option("--csv", options->csv, "the file to write, one row a component")->required();
  command->callback([&program, options] { program.exit_code = see(*options); });
}

}  // namespace lastlook::commands
