// Lines of a stream that may be longer than memory. Not thread-safe.
#pragma once

#include <algorithm>
#include <istream>
#include <string>
#include <string_view>

namespace toprail::command {

/// Reads ahead: nothing else may read from the stream meanwhile.
class Lines {
  public:
    Lines(std::istream& stream, std::size_t limit) : bytes_(stream.rdbuf()), limit_(limit) {}

    /// The next line without its end. False at the end of the stream. Of a line past the limit, one
    /// byte more than the limit is kept, which is enough to be refused.
    bool next(std::string& line) {
        line.clear();
        bool any = false;
        while (!rest_.empty() || read_on()) {
            any = true;
            const std::size_t end = rest_.find('\n');
            line += rest_.substr(0, std::min(end, limit_ + 1 - line.size()));
            if (end != std::string_view::npos) {
                rest_.remove_prefix(end + 1);
                return true;
            }
            rest_ = {};
        }
        return any;
    }

  private:
    bool read_on() {
        const std::streamsize got =
            bytes_->sgetn(buffer_.data(), static_cast<std::streamsize>(buffer_.size()));
        rest_ = std::string_view(buffer_).substr(0, static_cast<std::size_t>(got));
        return got > 0;
    }

    std::streambuf* bytes_;
    std::size_t limit_;
    std::string buffer_ = std::string(std::size_t{1} << 16U, '\0');
    std::string_view rest_;
};

}  // namespace toprail::command
