// SPDX-License-Identifier: Apache-2.0
#include "kiosk/app/incoming.h"

#include <fmt/format.h>

#include <algorithm>
#include <condition_variable>
#include <fstream>
#include <future>
#include <memory>
#include <mutex>
#include <vector>

namespace lastlook::app {

namespace fs = std::filesystem;

namespace {

// Beside one of the same name, never over it. A reason is there before the file is.
Status move_to(const fs::path& file, const fs::path& folder, const std::string& why = "") {
  std::error_code error;
  fs::create_directories(folder, error);
  fs::path to = folder / file.filename();
  for (int i = 2; !error && fs::exists(to, error); ++i)
    to = folder / fmt::format("{}-{}{}", file.stem().string(), i, file.extension().string());
  const std::string reason = to.string() + ".why.txt";
  if (!error && !why.empty() && !(std::ofstream(reason) << why << "\n").flush())
    return fail(Category::io, reason + ": cannot be written");
  if (!error) fs::rename(file, to, error);
  if (error) return fail(Category::io, file.string() + ": " + error.message());
  return {};
}

}  // namespace

Incoming::Incoming(Parts parts)
    : parts_(std::move(parts)), thread_([this](const std::stop_token& stop) { watch(stop); }) {}

Incoming::~Incoming() {
  thread_.request_stop();
}

void Incoming::watch(const std::stop_token& stop) {
  std::mutex mutex;
  std::condition_variable_any ended;
  while (!stop.stop_requested()) {
    look(stop);
    std::unique_lock lock(mutex);
    ended.wait_for(lock, stop, parts_.every, [] { return false; });
  }
}

void Incoming::look(const std::stop_token& stop) {
  std::error_code error;
  fs::create_directories(parts_.folder, error);
  std::vector<fs::path> files;
  for (fs::directory_iterator it(parts_.folder, error), end; !error && it != end;
       it.increment(error))
    if (it->path().extension() == ".csv") files.push_back(it->path());
  if (error) return say(parts_.folder.string() + ": " + error.message());
  std::ranges::sort(files);
  for (const fs::path& file : files)
    if (!stop.stop_requested()) take_file(file, stop);
}

// What the window's thread says to it; nullopt: it ends, and what it took is known next time.
std::optional<Status> Incoming::offer(text::ResultFile rows, const std::stop_token& stop) {
  const auto answer = std::make_shared<std::promise<Status>>();
  std::future<Status> ready = answer->get_future();
  parts_.main.post(
      [&take = parts_.take, rows = std::move(rows), answer] { answer->set_value(take(rows)); });
  while (ready.wait_for(std::chrono::milliseconds(50)) != std::future_status::ready)
    if (stop.stop_requested()) return std::nullopt;
  return ready.get();
}

void Incoming::take_file(const fs::path& file, const std::stop_token& stop) {
  auto read = text::read_result_file(file.string());
  std::optional<Status> taken =
      read ? offer(*std::move(read), stop) : std::optional<Status>(tl::unexpected(read.error()));
  if (!taken) return;
  if (!*taken) return put_aside(file, taken->error());
  const Status moved = move_to(file, parts_.folder / "taken");
  if (!moved) return say(moved.error().message);
  said_.clear();
}

// Bad input is refused; anything else is a trouble that may pass, and the file waits.
void Incoming::put_aside(const fs::path& file, const Error& error) {
  const std::string name = file.filename().string();
  const std::string why =
      error.message.find(name) == std::string::npos ? name + ": " + error.message : error.message;
  say(why);
  if (error.category != Category::bad_input) return;
  const Status moved = move_to(file, parts_.folder / "refused", why);
  if (!moved) return say(moved.error().message);
  said_.clear();  // the next is said though it has the same wrong
}

void Incoming::say(const std::string& trouble) {
  if (trouble == said_) return;
  said_ = trouble;
  parts_.main.post([&tell = parts_.tell, trouble] { tell(trouble); });
}

}  // namespace lastlook::app
