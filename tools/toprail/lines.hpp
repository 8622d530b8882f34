// Lines of a stream that may be longer than memory. Not thread-safe.
#pragma once

#include <istream>
#include <string>

namespace toprail::command {

class Lines {
  public:
    Lines(std::istream& stream, std::size_t limit) : stream_(stream), limit_(limit) {}

    /// The next line without its end. False at the end of the stream. Of a line past the limit, one
    /// byte more than the limit is kept, which is enough to be refused.
    bool next(std::string& line) {
        line.clear();
        bool any = false;
        std::streambuf* const bytes = stream_.rdbuf();
        for (int c = bytes->sbumpc(); c != std::char_traits<char>::eof(); c = bytes->sbumpc()) {
            any = true;
            if (c == '\n') {
                return true;
            }
            if (line.size() <= limit_) {
                line += static_cast<char>(c);
            }
        }
        return any;
    }

  private:
    std::istream& stream_;
    std::size_t limit_;
};

}  // namespace toprail::command
