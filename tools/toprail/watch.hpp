// Long work seen from a terminal: how far it is, and how it is stopped.
#pragma once

#include <atomic>
#include <functional>
#include <string_view>

namespace toprail::command {

/// While it lives, the first interrupt sets a flag instead of ending the program; a second one ends
/// it. Progress is shown on the error output when that is a terminal. One at a time.
class Watch {
  public:
    Watch();
    Watch(const Watch&) = delete;
    Watch& operator=(const Watch&) = delete;
    ~Watch();

    [[nodiscard]] const std::atomic<bool>* stop() const;
    [[nodiscard]] std::function<void(std::size_t, std::size_t, std::string_view)> progress() const;

  private:
    bool terminal_;
    void (*before_)(int);
};

}  // namespace toprail::command
