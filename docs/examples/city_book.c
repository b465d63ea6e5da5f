/* A city's amendment from a file (C99): the host reads the file, the library never does. Faults are
 * printed with their lines; else what the amendment changed.
 *
 *   cc city_book.c $(pkg-config --cflags --libs groundrule) -o city_book
 *   ./city_book my-city.rules nec-2020+my-city-2025
 */
#include <groundrule/groundrule.h>

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* The whole file in memory of the caller's; NULL if it can't be read. */
static char *read_file(const char *path, size_t *size) {
    FILE *file = fopen(path, "rb");
    char *text = NULL;
    size_t room = 0, got = 1;
    *size = 0;
    while (file != NULL && got != 0) {
        if (*size == room) {
            char *more = realloc(text, room = room == 0 ? 65536 : 2 * room);
            if (more == NULL)
                break;
            text = more;
        }
        got = fread(text + *size, 1, room - *size, file);
        *size += got;
    }
    if (file == NULL || ferror(file) || got != 0) {
        free(text);
        text = NULL;
    }
    if (file != NULL)
        fclose(file);
    return text;
}

int main(int count, char **arguments) {
    gr_book *book = NULL;
    gr_document *changes = NULL;
    gr_source source;
    gr_error error;
    if (count != 3) {
        fprintf(stderr, "usage: city_book FILE BOOK\n");
        return 2;
    }
    source.name.data = arguments[1]; /* shown in messages */
    source.name.size = strlen(arguments[1]);
    source.text.data = read_file(arguments[1], &source.text.size);
    if (source.text.data == NULL) {
        fprintf(stderr, "%s can't be read\n", arguments[1]);
        return 2;
    }
    gr_status status =
        gr_book_open(arguments[2], strlen(arguments[2]), &source, 1, NULL, &book, &error);
    if (status == GR_OK)
        status = gr_book_show(book, GR_SHOW_CHANGES, &changes, &error);
    if (status == GR_OK)
        printf("%s\n%s", gr_book_name(book).data, gr_document_text(changes).data);
    else
        fprintf(stderr, "%s\n", error.message);
    gr_document_free(changes);
    gr_book_free(book);
    free((void *)source.text.data);
    return status == GR_OK ? 0 : 1;
}
