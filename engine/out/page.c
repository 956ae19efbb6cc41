/* SPDX-License-Identifier: MIT */
#include "out/page.h"

#include <stdio.h>
#include <string.h>

/* One character as ASCII: a UTF-8 sequence becomes one question mark, *used its bytes. */
static char plain(const char *at, size_t *used)
{
    unsigned char c = (unsigned char)at[0];
    *used = 1;
    if (c >= 0x20 && c < 0x7F)
        return (char)c;
    while (c >= 0xC0 && ((unsigned char)at[*used] & 0xC0) == 0x80)
        (*used)++;
    return '?';
}

size_t mbl_page_plain(const char *from, char *to, size_t room)
{
    size_t n = 0;
    for (size_t used; *from != '\0'; from += used) {
        char c = plain(from, &used);
        if (n + 1 < room)
            to[n] = c;
        n++;
    }
    if (room > 0)
        to[n + 1 < room ? n : room - 1] = '\0';
    return n;
}

void mbl_page_heading(mbl_text *page, const char *heading)
{
    mbl_page_wrap(page, page->length > 0 ? "\n" : "", 2, heading);
}

/* Columns and bytes of the next word. */
static size_t measure(const char *word, size_t *bytes)
{
    size_t columns = 0;
    *bytes = 0;
    while (word[*bytes] != '\0' && word[*bytes] != ' ') {
        size_t used;
        plain(word + *bytes, &used);
        *bytes += used;
        columns++;
    }
    return columns;
}

void mbl_page_wrap(mbl_text *page, const char *lead, int indent, const char *sentence)
{
    mbl_text_print(page, "%s", lead);
    const char *last_line = strrchr(lead, '\n');
    size_t column = strlen(last_line != NULL ? last_line + 1 : lead);
    size_t start = column;
    for (const char *at = sentence; *at != '\0';) {
        if (*at == ' ') {
            at++;
            continue;
        }
        size_t bytes;
        size_t columns = measure(at, &bytes);
        size_t gap = column > start ? 1 : 0;
        if (column > start && column + gap + columns > MBL_PAGE_WIDTH) {
            mbl_text_print(page, "\n%*s", indent, "");
            column = start = (size_t)indent;
            gap = 0;
        }
        mbl_text_add(page, " ", gap);
        column += gap;
        for (const char *end = at + bytes; at < end;) {
            size_t used;
            char c = plain(at, &used);
            if (column >= MBL_PAGE_WIDTH) {
                /* a word longer than a line, as a file name may be */
                mbl_text_print(page, "\n%*s", indent, "");
                column = start = (size_t)indent;
            }
            mbl_text_add(page, &c, 1);
            column++;
            at += used;
        }
    }
    mbl_text_add(page, "\n", 1);
}

void mbl_page_fact(mbl_text *page, const char *word, const char *sentence)
{
    char lead[16];
    snprintf(lead, sizeof lead, "  %-10.10s ", word);
    mbl_page_wrap(page, lead, 13, sentence);
}

void mbl_page_point(mbl_text *page, const char *sentence)
{
    mbl_page_wrap(page, "  - ", 4, sentence);
}

void mbl_page_clear(mbl_text *sentence)
{
    sentence->length = 0;
    if (sentence->data != NULL)
        sentence->data[0] = '\0';
}

void mbl_page_row(mbl_text *page, const char *what, const char *front, const char *rear)
{
    mbl_text_print(page, "  %-27.27s %-23.23s %.24s\n", what, front, rear);
}
