using Microsoft.Extensions.FileProviders;
using Microsoft.Extensions.Primitives;

namespace TurfWatch.Mail.Composing;

/// <summary>The templates of <c>Composing/Templates</c>, which are in the assembly, for the includes of one another.</summary>
internal sealed class TemplateFiles : IFileProvider
{
    private const string Suffix = ".liquid";

    public static string Read(string name)
    {
        using var reader = new StreamReader(Open(name));
        return reader.ReadToEnd();
    }

    public IFileInfo GetFileInfo(string subpath) =>
        new TemplateFile(Path.GetFileNameWithoutExtension(subpath));

    public IDirectoryContents GetDirectoryContents(string subpath) =>
        NotFoundDirectoryContents.Singleton;

    public IChangeToken Watch(string filter) => NullChangeToken.Singleton;

    private static Stream Open(string name) =>
        typeof(TemplateFiles).Assembly.GetManifestResourceStream($"{name}{Suffix}")
        ?? throw new InvalidOperationException($"the template {name} is not in the assembly");

    private sealed class TemplateFile(string name) : IFileInfo
    {
        public bool Exists => true;

        public long Length => -1;

        public string? PhysicalPath => null;

        public string Name => name + Suffix;

        public DateTimeOffset LastModified => DateTimeOffset.UnixEpoch;

        public bool IsDirectory => false;

        public Stream CreateReadStream() => Open(name);
    }
}
