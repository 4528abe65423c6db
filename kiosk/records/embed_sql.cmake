# SPDX-License-Identifier: Apache-2.0
# Writes OUT, a C++ file with the text of every FILES (a list), by name without folder and suffix.
set(text "// Made by embed_sql.cmake from kiosk/records/sql.\n#include \"kiosk/records/sql.h\"\n\n")
string(APPEND text "namespace lastlook::records {\n\nstd::span<const SqlText> ${FUNCTION}() {\n")
string(APPEND text "  static constexpr SqlText all[] = {\n")
foreach(file ${FILES})
  get_filename_component(name ${file} NAME_WE)
  file(READ ${file} sql)
  string(APPEND text "      {\"${name}\", R\"sql(${sql})sql\"},\n")
endforeach()
string(APPEND text "  };\n  return all;\n}\n\n}  // namespace lastlook::records\n")
file(WRITE ${OUT} "${text}")
