// SPDX-License-Identifier: Apache-2.0
#include "vision/model_file.h"

#include <fcntl.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <cstring>
#include <fstream>
#include <sstream>

#include "vision/model_json.h"

namespace lastlook::vision {
namespace {

using nlohmann::json;

constexpr std::string_view first_words = "Lastlook model ";
constexpr int format_version = 2;
constexpr std::size_t id_digits = 16;

// 64 bits of FNV-1a as hex digits: each step can be undone, so one changed byte always shows.
std::string digest(std::string_view bytes) {
  std::uint64_t hash = 0xcbf29ce484222325U;
  for (const char c : bytes) hash = (hash ^ static_cast<unsigned char>(c)) * 0x100000001b3U;
  char text[id_digits + 1];
  std::snprintf(text, sizeof text, "%016llx", static_cast<unsigned long long>(hash));
  return text;
}

std::string document_of(const Model& model) {
  std::string bytes;
  json::to_cbor(model_to_json(model), bytes);
  return bytes;
}

Status give_up(const std::filesystem::path& path) {
  return fail(Category::io,
              path.string() + ": the model could not be written: " + std::strerror(errno));
}

bool write_and_sync(int file, std::string_view bytes) {
  while (!bytes.empty()) {
    const ssize_t n = write(file, bytes.data(), bytes.size());
    if (n < 0 && errno == EINTR) continue;
    if (n <= 0) return false;
    bytes.remove_prefix(static_cast<std::size_t>(n));
  }
  return fsync(file) == 0;
}

}  // namespace

std::string model_bytes(const Model& model) {
  const std::string document = document_of(model);
  return std::string(first_words) + std::to_string(format_version) + ' ' + digest(document) + '\n' +
         document;
}

std::string model_id(const Model& model) {
  return digest(document_of(model));
}

Result<Model> model_from_bytes(std::string_view bytes, const std::string& name) {
  if (!bytes.starts_with(first_words))
    return fail(Category::bad_input,
                name + ": expected a Lastlook model, as lastlook teach writes it");
  const auto damaged = [&](const std::string& what) {
    return fail(Category::damaged, name + ": the model is damaged: " + what);
  };
  int version = 0;
  char id[id_digits + 1] = {};
  const std::string line(bytes.substr(0, std::min<std::size_t>(bytes.find('\n'), 48)));
  const int read = std::sscanf(line.c_str() + first_words.size(), "%d %16[0-9a-f]", &version, id);
  if (read < 1) return damaged("its first line does not tell the version");
  if (version > format_version)
    return fail(Category::newer, name + ": the model was taught by a later version of Lastlook");
  if (version < format_version)
    return fail(Category::bad_input,
                name + ": the model was taught by an earlier version of Lastlook; teach it again");
  const std::string_view document = bytes.substr(std::min(line.size() + 1, bytes.size()));
  if (digest(document) != id) return damaged("its bytes are not those that were written");
  try {
    Model model = model_from_json(json::from_cbor(document));
    model.id = id;
    return model;
  } catch (const std::exception& error) {
    return damaged(error.what());
  }
}

std::optional<std::size_t> Model::variant_index(std::string_view name) const {
  for (std::size_t i = 0; i < variants.size(); ++i)
    if (variants[i].name == name) return i;
  return std::nullopt;
}

Result<Model> load_model(const std::filesystem::path& path) {
  std::ifstream in(path, std::ios::binary);
  if (!in) return fail(Category::not_found, path.string() + ": the model cannot be opened");
  std::ostringstream out;
  out << in.rdbuf();
  return model_from_bytes(out.view(), path.string());
}

Status save_model(const Model& model, const std::filesystem::path& path) {
  const std::string fresh = path.string() + "." + std::to_string(getpid()) + ".new";
  const int file = open(fresh.c_str(), O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC, 0644);
  if (file < 0) return give_up(path);
  const bool written = write_and_sync(file, model_bytes(model));
  if (close(file) != 0 || !written || std::rename(fresh.c_str(), path.c_str()) != 0) {
    const Status failed = give_up(path);
    unlink(fresh.c_str());
    return failed;
  }
  // The new name must last too.
  const std::filesystem::path parent = path.has_parent_path() ? path.parent_path() : ".";
  const int folder = open(parent.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  if (folder < 0) return give_up(path);
  const bool synced = fsync(folder) == 0;
  close(folder);
  return synced ? Status() : give_up(path);
}

}  // namespace lastlook::vision
