# SPDX-License-Identifier: MIT
# What is installed beside the program, and the Debian package (cpack -G DEB).
include(GNUInstallDirs)

file(GLOB scenarios CONFIGURE_DEPENDS scripts/*.lua)
file(GLOB pages CONFIGURE_DEPENDS docs/*.md)
list(FILTER pages EXCLUDE REGEX "\\.in\\.md$")
install(FILES ${scenarios} DESTINATION ${CMAKE_INSTALL_DATADIR}/emberlap/scripts)
install(DIRECTORY scripts/library scripts/parts DESTINATION ${CMAKE_INSTALL_DATADIR}/emberlap/scripts)
install(DIRECTORY tracks DESTINATION ${CMAKE_INSTALL_DATADIR}/emberlap)
install(FILES scripts/completion/emberlap.bash RENAME emberlap
        DESTINATION ${CMAKE_INSTALL_DATADIR}/bash-completion/completions)
install(FILES docs/emberlap.1 DESTINATION ${CMAKE_INSTALL_MANDIR}/man1)
install(FILES README.md DESTINATION ${CMAKE_INSTALL_DOCDIR})
install(FILES LICENSE DESTINATION ${CMAKE_INSTALL_DOCDIR} RENAME copyright)
install(FILES ${pages} DESTINATION ${CMAKE_INSTALL_DOCDIR}/docs)

set(CPACK_GENERATOR DEB)
set(CPACK_PACKAGE_NAME emberlap)
set(CPACK_PACKAGE_VENDOR "Emberlap contributors")
# a package has to name an address; this one reaches nobody
set(CPACK_PACKAGE_CONTACT "Emberlap contributors <noreply@localhost>")
set(CPACK_PACKAGE_DESCRIPTION
    "Will the brakes of this car survive this session at this course? A Lua script\n\
describes car and stint, a logger's file the course; the answer is how hot rotors,\n\
pads, calipers and fluid get, what gives out first, and by how much.")
set(CPACK_PACKAGING_INSTALL_PREFIX /usr)
set(CPACK_STRIP_FILES ON)
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_PACKAGE_SECTION science)
# the libraries that the program is linked with, and the versions that it needs
set(CPACK_DEBIAN_PACKAGE_SHLIBDEPS ON)
include(CPack)
