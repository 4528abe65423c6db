// SPDX-License-Identifier: Apache-2.0
// Runs the real program as a user would and keeps what it said.
#pragma once

#include <gtest/gtest.h>
#include <stdlib.h>
#include <sys/wait.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <nlohmann/json.hpp>
#include <string>

#include "tests/places.h"

namespace lastlook::commands {

inline std::string content_of(const std::filesystem::path& path) {
  std::ifstream in(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

// A folder of its own for each test, gone with it.
class ProgramTest : public testing::Test {
 protected:
  ProgramTest() {
    std::string pattern = testing::TempDir() + "lastlook_XXXXXX";
    dir_ = mkdtemp(pattern.data());
  }
  ~ProgramTest() override { std::filesystem::remove_all(dir_); }

  std::string path(const std::string& name) const { return (dir_ / name).string(); }

  std::string file(const std::string& name, const std::string& text) const {
    std::ofstream(dir_ / name, std::ios::binary) << text;
    return path(name);
  }

  // Arguments as in a shell; `typed` is what standard input says.
  void run(const std::string& arguments, const std::string& typed = "") {
    const std::string command = program() + " " + arguments + " >" + path("out") + " 2>" +
                                path("err") + " <" + file("typed", typed);
    const int status = std::system(command.c_str());
    code_ = WIFEXITED(status) ? WEXITSTATUS(status) : -1;
    out_ = content_of(dir_ / "out");
    err_ = content_of(dir_ / "err");
  }

  // The demo's master data, without what lies beside them and without the check of the place.
  static nlohmann::json plant_json() {
    auto plant =
        nlohmann::json::parse(content_of(source_dir() + "/assets/plant/coolant-pumps.json"));
    plant.erase("limit_samples");
    plant.erase("viewing");
    return plant;
  }
  std::string plant() const { return file("plain-plant.json", plant_json().dump(1)); }

  // A station LL-7 with these master data and an engineer, PIN 4101, whose id it gives.
  std::string make_station() {
    run("station make --json --name LL-7 --engineer 'Quentin Example' --dir " + path("LL-7") +
            " --master " + plant(),
        "4101\n");
    EXPECT_EQ(code_, 0) << err_;
    return json().value("approved_by", "");
  }

  nlohmann::json json() const { return nlohmann::json::parse(out_, nullptr, false); }

  std::filesystem::path dir_;
  int code_ = -1;
  std::string out_;
  std::string err_;
};

}  // namespace lastlook::commands
