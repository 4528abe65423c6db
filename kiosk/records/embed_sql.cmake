# SPDX-License-Identifier: Apache-2.0
# Writes OUT, a C++ file with SPACE::FUNCTION(): the text of every FILES (a list), by name without
# folder and suffix.
set(text "// Made by embed_sql.cmake.\n#include \"kiosk/records/sql.h\"\n\n")
string(APPEND text "namespace ${SPACE} {\n\nstd::span<const records::SqlText> ${FUNCTION}() {\n")
string(APPEND text "  static constexpr records::SqlText all[] = {\n")
foreach(file ${FILES})
  get_filename_component(name ${file} NAME_WE)
  file(READ ${file} sql)
  string(APPEND text "      {\"${name}\", R\"sql(${sql})sql\"},\n")
endforeach()
string(APPEND text "  };\n  return all;\n}\n\n}  // namespace ${SPACE}\n")
file(WRITE ${OUT} "${text}")
