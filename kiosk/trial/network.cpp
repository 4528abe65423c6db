// SPDX-License-Identifier: Apache-2.0
#include "kiosk/trial/network.h"

#include "kiosk/domain/clock.h"
#include "kiosk/domain/happening.h"
#include "kiosk/records/entry.h"

namespace lastlook::trial {
namespace {

using records::Entry;
using sync::Head;

class Behind final : public sync::PlantStore {
 public:
  Behind(Network& network, Tally& tally, std::unique_ptr<sync::PlantStore> store)
      : network_(network), tally_(tally), store_(std::move(store)) {}

  Result<std::vector<sync::KnownJournal>> journals() override {
    return over<std::vector<sync::KnownJournal>>([&] { return store_->journals(); });
  }
  Result<Head> head(const std::string& journal) override {
    return over<Head>([&] { return store_->head(journal); });
  }
  Result<records::Hash> hash_at(const std::string& journal, std::int64_t seq) override {
    return over<records::Hash>([&] { return store_->hash_at(journal, seq); });
  }
  Result<Head> take(std::span<const Entry> entries) override {
    return over<Head>([&] {
      auto taken = store_->take(entries);
      if (taken) note_lags(entries);
      return taken;
    });
  }
  Status entries(const std::string& journal, std::int64_t from,
                 const std::function<bool(const Entry&)>& each) override {
    return over<void>([&] { return store_->entries(journal, from, each); });
  }

 private:
  template <class T, class Ask>
  Result<T> over(Ask ask) {
    if (!network_.is_up()) return fail(Category::io, "the network is cut");
    Result<T> answer = ask();
    if (network_.loses_an_answer()) return fail(Category::io, "the answer was lost");
    return answer;
  }
  // The entries say themselves when they were written, on a clock that all processes share.
  void note_lags(std::span<const Entry> entries) {
    const domain::Reading now = domain::SystemClock().read();
    for (const Entry& entry : entries) {
      if (entry.kind != domain::kind_of(domain::LookClosed{})) continue;
      if (const auto stamp = records::read_stamp(entry.stamp))
        tally_.note_lag(now.mono_us - stamp->reading.mono_us);
    }
  }

  Network& network_;
  Tally& tally_;
  std::unique_ptr<sync::PlantStore> store_;
};

}  // namespace

Network::Network(Tally& tally, unsigned seed, std::chrono::duration<double> up,
                 std::chrono::duration<double> down)
    : tally_(tally), random_(seed), up_(up), down_(down), changes_(Clock::now()) {}

bool Network::is_up() {
  if (up_.count() == 0) return true;
  for (const auto now = Clock::now(); changes_ <= now;) {
    is_up_ = !is_up_;
    if (!is_up_) ++tally_.cuts;
    const double mean = is_up_ ? up_.count() : down_.count();
    changes_ += std::chrono::duration_cast<Clock::duration>(
        std::chrono::duration<double>(std::exponential_distribution<>(1 / mean)(random_)));
  }
  return is_up_;
}

bool Network::loses_an_answer() {
  return up_.count() > 0 && random_() % 20 == 0;
}

std::unique_ptr<sync::PlantStore> behind(Network& network, Tally& tally,
                                         std::unique_ptr<sync::PlantStore> store) {
  return std::make_unique<Behind>(network, tally, std::move(store));
}

}  // namespace lastlook::trial
