# Writes the C++ source that holds the rule sets (see src/book/embedded.h).
#
#   cmake -DDIRECTORY=… -DLIST=… -DOUTPUT=… -P embed.cmake
#
# LIST names one path below DIRECTORY a line, in the order wanted. A text becomes a sequence of raw
# string literals, each shorter than what the strictest compiler takes, cut at line ends so that no
# character of several bytes is torn apart.

cmake_minimum_required(VERSION 3.25)

set(piece_size 15000)
set(delimiter "groundrule")

set(texts "")
set(entries "")
set(count 0)

file(STRINGS "${LIST}" paths)
foreach(path IN LISTS paths)
  file(READ "${DIRECTORY}/${path}" text)
  string(FIND "${text}" ")${delimiter}\"" closing)
  if(NOT closing EQUAL -1)
    message(FATAL_ERROR "${path}: holds the characters that end an embedded text")
  endif()

  string(APPEND texts "const char text_${count}[] =\n    \"\"")
  string(LENGTH "${text}" rest)
  while(rest GREATER 0)
    set(size ${rest})
    if(size GREATER piece_size)
      string(SUBSTRING "${text}" 0 ${piece_size} head)
      string(FIND "${head}" "\n" size REVERSE)
      math(EXPR size "${size} + 1")
      if(size EQUAL 0)
        message(FATAL_ERROR "${path}: has a line of more than ${piece_size} bytes")
      endif()
    endif()
    string(SUBSTRING "${text}" 0 ${size} head)
    string(SUBSTRING "${text}" ${size} -1 text)
    string(APPEND texts "\n    R\"${delimiter}(${head})${delimiter}\"")
    math(EXPR rest "${rest} - ${size}")
  endwhile()
  string(APPEND texts ";\n\n")
  string(APPEND entries "    {\"${path}\", text_${count}, sizeof text_${count} - 1},\n")
  math(EXPR count "${count} + 1")
endforeach()

file(WRITE "${OUTPUT}" "// Generated from the rule sets. Do not edit.

#include \"book/embedded.h\"

namespace groundrule::book {
namespace {

${texts}}  // namespace

// The empty entry at the end is not counted; it keeps the array legal when there are no files.
const EmbeddedFile embedded_files[] = {
${entries}    {nullptr, nullptr, 0},
};
const unsigned long embedded_file_count = ${count};

}  // namespace groundrule::book
")
